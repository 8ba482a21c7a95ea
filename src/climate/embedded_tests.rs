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

    use ndarray::{Array, Dimension};
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
            let own = Currents::open(&path, &CurrentOptions::default(), &region);
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

    #[test]
    fn years_have_the_same_bits() {
        let path = source("years.nc");
        for region in regions() {
            let own = Years::open(&path, &SourceOptions::default(), &region);
            let (carried, own) = match (Years::navy(&region), own) {
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
            assert_eq!(carried.years, own.years);
            assert_eq!(bits(&carried.anomalies.u_ms), bits(&own.anomalies.u_ms));
            assert_eq!(bits(&carried.anomalies.v_ms), bits(&own.anomalies.v_ms));
            assert!(own.label.ends_with(&format!("({})", carried.label)));
        }
    }
}
