use super::*;

#[test]
fn what_the_program_carries_can_be_read() {
    let world = Region::world();
    let winds = Climate::ship_winds(&world).expect("the winds");
    assert_eq!(winds.wind.u_ms.shape(), [12, 90, 180]);
    assert!(matches!(Currents::drifters(&world), Ok(Currents::Field(_))));
    assert_eq!(
        Years::navy(&world).expect("the years").whole(),
        (1982..=1992).collect::<Vec<_>>()
    );
}

#[test]
fn a_region_without_sea_is_refused() {
    let siberia = Region::between(60.0, 64.0, 95.0, 105.0);
    let said = Climate::ship_winds(&siberia).expect_err("land").to_string();
    assert!(said.contains("has no value at all"), "{said}");
    let currents = Currents::drifters(&siberia).expect("none is known, which is no fault");
    let Currents::Field(field) = currents else {
        panic!("no field")
    };
    assert!(field.east_kn.iter().all(|value| value.is_nan()));
}

/// The same files through the NetCDF library, which shares none of the unpacking.
#[cfg(feature = "netcdf")]
mod against_netcdf {
    use std::fs;
    use std::path::PathBuf;

    use ndarray::{Array, Dimension, s};
    use sha2::{Digest, Sha256};

    use super::*;
    use crate::climate::CurrentOptions;
    use crate::climate::packed::header_and_body;

    fn source(name: &str) -> PathBuf {
        [env!("CARGO_MANIFEST_DIR"), "fixtures/climate", name]
            .iter()
            .collect()
    }

    /// The world, both sides of the seams of 0 and 180 degrees, a single cell, and beyond the grids.
    fn regions() -> [Region; 8] {
        [
            Region::world(),
            Region::between(-40.0, -20.0, 30.0, 120.0),
            Region::between(-60.0, -30.0, 170.0, 190.0),
            Region::between(30.0, 60.0, -20.0, 12.0),
            Region::between(-80.0, 80.0, 20.0, 340.0),
            Region::between(-35.4, -35.3, 20.1, 20.2),
            Region::between(84.0, 90.0, -180.0, 180.0),
            Region::between(60.0, 64.0, 95.0, 105.0),
        ]
    }

    fn bits<D: Dimension>(field: &Array<f32, D>) -> (Vec<usize>, Vec<u32>) {
        // There is one way here to have no value.
        let bits = field.iter().map(|value| match value.is_nan() {
            true => f32::NAN.to_bits(),
            false => value.to_bits(),
        });
        (field.shape().to_vec(), bits.collect())
    }

    #[test]
    fn each_file_is_the_one_that_was_packed() {
        for (name, bytes) in [
            ("ship-winds.nc", SHIP_WINDS),
            ("currents.nc", DRIFTERS),
            ("years.nc", NAVY_YEARS),
        ] {
            let (header, _) = header_and_body(bytes).expect("packed");
            let header: serde_json::Value = serde_json::from_slice(header).expect("JSON");
            let file = fs::read(source(name)).expect("the source");
            let found: String = Sha256::digest(file)
                .iter()
                .map(|byte| format!("{byte:02x}"))
                .collect();
            assert_eq!(header["source"], name);
            assert_eq!(header["sha256"], found, "run scripts/build-embedded");
        }
    }

    #[test]
    fn winds_have_the_same_bits() {
        let path = source("ship-winds.nc");
        for region in regions() {
            let own = Climate::open(&path, &SourceOptions::default(), &region);
            let (carried, own) = match (Climate::ship_winds(&region), own) {
                (Ok(carried), Ok(own)) => (carried, own),
                (carried, own) => {
                    let [carried, own] =
                        [carried, own].map(|one| one.expect_err("both").fault.to_string());
                    assert_eq!(carried, own);
                    continue;
                }
            };
            assert_eq!(carried.latitudes, own.latitudes);
            assert_eq!(carried.longitudes, own.longitudes);
            assert_eq!(bits(&carried.wind.u_ms), bits(&own.wind.u_ms));
            assert_eq!(bits(&carried.wind.v_ms), bits(&own.wind.v_ms));
            assert_eq!(bits(&carried.wind.s_ms), bits(&own.wind.s_ms));
            let air = |climate: &Climate| climate.air_temperature_c.as_ref().map(bits);
            assert_eq!(air(&carried), air(&own));
            assert_eq!(carried.replaced, own.replaced);
            let mut provenance = own.provenance;
            provenance.label = provenance
                .label
                .replace(&path.display().to_string(), "ship winds");
            assert_eq!(carried.provenance, provenance);
        }
    }

    #[test]
    fn currents_have_the_same_bits() {
        let path = source("currents.nc");
        for region in regions() {
            // Beyond the grid a crew's own file is refused.
            let on_grid = Region {
                south_deg: region.south_deg.min(DRIFTERS_REACH_DEG),
                ..region
            };
            let own = Currents::open(&path, &CurrentOptions::default(), &on_grid);
            let Ok(Currents::Field(carried)) = Currents::drifters(&region) else {
                panic!("no field")
            };
            // A crew's own file has to have some.
            let Ok(Currents::Field(own)) = own else {
                assert!(carried.east_kn.iter().all(|value| value.is_nan()));
                continue;
            };
            assert_eq!(carried.latitudes, own.latitudes);
            assert_eq!(carried.longitudes, own.longitudes);
            assert_eq!(bits(&carried.east_kn), bits(&own.east_kn));
            assert_eq!(bits(&carried.north_kn), bits(&own.north_kn));
            assert_eq!(carried.not_applied, own.not_applied);
            assert_eq!(carried.notes, own.notes);
            let label = own.label.replace(&path.display().to_string(), "drifters");
            assert_eq!(carried.label, label);
        }
    }

    /// All of the file by the library alone; a part of the grid has the numbers of the whole.
    #[test]
    fn years_have_the_same_bits() {
        hdf5_metno::silence_errors(true);
        let file = netcdf::open(source("years.nc")).expect("the file");
        let whole = Years::navy(&Region::world()).expect("the years");
        for (name, field) in [
            ("u_anomaly", &whole.anomalies.u_ms),
            ("v_anomaly", &whole.anomalies.v_ms),
        ] {
            let variable = file.variable(name).expect("the variable");
            let number = |attribute: &str| {
                let value = variable.attribute_value(attribute).expect("the attribute");
                f64::try_from(value.expect("its value")).expect("a number")
            };
            let (scale, missing) = (number("scale_factor"), number("_FillValue"));
            assert_eq!(number("add_offset"), 0.0);
            let stored = variable.get_values::<f64, _>(..).expect("the numbers");
            let values = stored.iter().map(|stored| match *stored == missing {
                true => f32::NAN,
                false => (stored * scale) as f32,
            });
            let values: Vec<f32> = values.collect();
            let expected = Array::from_shape_vec(field.dim(), values).expect("one grid");
            assert_eq!(bits(field), bits(&expected));
        }
        for region in regions() {
            let Ok(part) = Years::navy(&region) else {
                assert!(region.south_deg > 85.0);
                continue;
            };
            for row in 0..part.latitudes.len() {
                let at = whole
                    .latitudes
                    .around_latitude(part.latitudes.value_deg(row));
                let at_row = at.expect("a row of the whole").low;
                for column in 0..part.longitudes.len() {
                    let longitude_deg = part.longitudes.value_deg(column);
                    let at = whole.longitudes.around_longitude(longitude_deg);
                    let at_column = at.expect("a column of the whole").low;
                    let node = |years: &Years, row, column| {
                        bits(
                            &years
                                .anomalies
                                .u_ms
                                .slice(s![.., .., row, column])
                                .to_owned(),
                        )
                    };
                    assert_eq!(node(&part, row, column), node(&whole, at_row, at_column));
                }
            }
        }
    }
}
