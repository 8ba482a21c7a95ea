//! Winds that another program holds in memory, such as an array of a notebook's: found, checked and
//! brought to our units as those of a file are, and read where they lie.

use std::fmt;

use ndarray::Array3;

use super::error::{ClimateError, ClimateFault, ClimatePart};
use super::grid::Climate;
use super::gridded::{
    MOST_MEAN_WIND_MS, MonthSteps, NamedVariable, Part, Quantity, Sides, checked_latitudes,
    checked_longitudes, choose, conversion_of, height_note, missing, months_of_stamps,
    scaling_from,
};
use super::means::{MonthlyMeans, climate_of_means};
use super::month::Month;
use super::region::Region;
use super::source::SourceOptions;

/// Winds held by another program, of which a voyage takes what its waters need.
pub trait HeldWinds: fmt::Debug + Send + Sync {
    /// The climate on `region`.
    ///
    /// # Errors
    /// What [`Climate::from_fields`] finds wrong.
    fn open(&self, options: &SourceOptions, region: &Region) -> Result<Climate, ClimateError>;
}

/// Monthly fields in memory, all on one grid.
pub struct WindsInMemory<'a> {
    /// What they are called in reports and messages.
    pub label: String,
    /// The name of the coordinate along the months.
    pub time: String,
    /// Which step is which month.
    pub steps: StepMonths,
    /// The name of the coordinate along the rows, and its degrees north, rising or falling.
    pub latitudes_deg: (String, Vec<f64>),
    /// The name of the coordinate along the columns, and its degrees east, running one way.
    pub longitudes_deg: (String, Vec<f64>),
    /// The mean wind toward the east.
    pub eastward_wind: FieldInMemory<'a>,
    /// The mean wind toward the north.
    pub northward_wind: FieldInMemory<'a>,
    /// The mean scalar speed; none where it is not known.
    pub wind_speed: Option<FieldInMemory<'a>>,
    /// The mean air temperature; none where it is not known.
    pub air_temperature: Option<FieldInMemory<'a>>,
}

/// Which step of time is which month.
#[derive(Debug, Clone, PartialEq)]
pub enum StepMonths {
    /// Nothing says so: twelve steps are taken as January to December.
    InOrder,
    /// Its number, 1 for January.
    Numbers(Vec<u8>),
    /// How far into the year it stands, in months: 0 where January begins, 0.5 in its middle.
    IntoYear(Vec<f64>),
}

/// One field.
pub struct FieldInMemory<'a> {
    /// Its variable.
    pub name: String,
    /// Its unit, where one is given.
    pub units: Option<String>,
    /// The height its winds are for, m; none where that is not said.
    pub height_m: Option<f64>,
    /// How many steps, rows and columns it has.
    pub shape: [usize; 3],
    /// The value at a step, row and column; NaN where there is none.
    pub values: Box<dyn Fn([usize; 3]) -> f64 + 'a>,
}

/// The variables that hold winds, by their places in a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WindVariables {
    /// The mean wind toward the east.
    pub eastward_wind: usize,
    /// The mean wind toward the north.
    pub northward_wind: usize,
    /// The mean scalar speed, where there is one.
    pub wind_speed: Option<usize>,
    /// The mean air temperature, where there is one.
    pub air_temperature: Option<usize>,
}

impl WindVariables {
    /// Finds the winds among the variables of what is called `label`: those that `options` names, else by
    /// standard name, else by a usual name.
    ///
    /// # Errors
    /// A wind that is not there, or of which there are several.
    pub fn find(
        variables: &[NamedVariable],
        label: &str,
        options: &SourceOptions,
    ) -> Result<Self, ClimateError> {
        let find = |quantity| choose(variables, quantity, options);
        let require = |quantity| {
            find(quantity)?.ok_or_else(|| {
                let present = variables.iter().map(|variable| variable.name.clone());
                missing(quantity, &present.collect::<Vec<_>>())
            })
        };
        let found = || {
            Ok(Self {
                eastward_wind: require(Quantity::EastwardWind)?,
                northward_wind: require(Quantity::NorthwardWind)?,
                wind_speed: find(Quantity::WindSpeed)?,
                air_temperature: find(Quantity::AirTemperature)?,
            })
        };
        found().map_err(|fault: ClimateFault| fault.in_file(ClimatePart::Winds, label))
    }
}

impl Climate {
    /// The climate of fields in memory, on `region`, as [`Climate::open`] would read them from a file; but
    /// for flags of what was observed and for measured variances, which are not taken. Only what lies in
    /// the region is looked at.
    ///
    /// # Errors
    /// [`ClimateError`] with the label and what is wrong.
    pub fn from_fields(
        fields: &WindsInMemory<'_>,
        options: &SourceOptions,
        region: &Region,
    ) -> Result<Self, ClimateError> {
        climate(fields, options, region)
            .map_err(|fault| fault.in_file(ClimatePart::Winds, &fields.label))
    }
}

fn climate(
    fields: &WindsInMemory<'_>,
    options: &SourceOptions,
    region: &Region,
) -> Result<Climate, ClimateFault> {
    let (latitude, latitudes_deg) = &fields.latitudes_deg;
    let (longitude, longitudes_deg) = &fields.longitudes_deg;
    let latitudes_deg = checked_latitudes(latitude, latitudes_deg.clone())?;
    let longitudes_deg = checked_longitudes(longitude, longitudes_deg.clone())?;
    let steps = fields.eastward_wind.shape[0];
    if steps != Month::ALL.len() {
        return Err(ClimateFault::Months {
            variable: fields.eastward_wind.name.clone(),
            found: steps,
            expected: "12, one for each month".into(),
        });
    }
    let shape = [steps, latitudes_deg.len(), longitudes_deg.len()];
    let sides = Sides {
        latitudes_deg: (latitude, &latitudes_deg),
        longitudes_deg: (longitude, &longitudes_deg),
    };
    let part = Part::of(&sides, || fields.months(), region)?;
    let mut notes = part.notes.clone();
    let mut scaling = None;
    let mut read_wind = |field: &FieldInMemory<'_>, quantity| {
        let height_m = options.wind_height_m.or(field.height_m);
        let found = height_m.map(scaling_from).transpose()?.flatten();
        notes.extend(found.map(|found| height_note(&field.name, found)));
        scaling = scaling.or(found);
        field.read(
            &part,
            shape,
            quantity,
            found.map_or(1.0, |found| found.factor),
        )
    };
    let (east, north) = (&fields.eastward_wind, &fields.northward_wind);
    let u_ms = read_wind(east, Quantity::EastwardWind)?;
    let v_ms = read_wind(north, Quantity::NorthwardWind)?;
    part.check_speed(
        (&east.name, &u_ms),
        (&north.name, &v_ms),
        ("m/s", MOST_MEAN_WIND_MS),
    )?;
    let speed = fields.wind_speed.as_ref();
    let mean_speed_ms = speed
        .map(|field| read_wind(field, Quantity::WindSpeed))
        .transpose()?;
    let air = fields.air_temperature.as_ref();
    let air_temperature_c = air
        .map(|field| field.read(&part, shape, Quantity::AirTemperature, 1.0))
        .transpose()?;
    let means = MonthlyMeans {
        latitudes: part.rows.axis,
        longitudes: part.columns.axis,
        u_ms,
        v_ms,
        mean_speed_ms,
        air_temperature_c,
        replaced: None,
        label: fields.label.clone(),
        notes,
    };
    let mut climate = climate_of_means(means, options, region)?;
    climate.provenance.height_scaling = scaling;
    Ok(climate)
}

impl WindsInMemory<'_> {
    fn months(&self) -> Result<MonthSteps, ClimateFault> {
        match &self.steps {
            StepMonths::InOrder => {
                let why = format!("dimension '{}' has no coordinate", self.time);
                Ok(MonthSteps::in_file_order(&why))
            }
            StepMonths::Numbers(numbers) => {
                let months = numbers.iter().map(|&number| {
                    let month = Month::from_number(number).ok_or_else(|| self.no_month(number))?;
                    Ok(usize::from(month.number()) - 1)
                });
                let months: Vec<usize> = months.collect::<Result<_, ClimateFault>>()?;
                MonthSteps::of(&self.time, &months, Vec::new())
            }
            StepMonths::IntoYear(stamps) => {
                let (months, note) = months_of_stamps(&self.time, stamps);
                MonthSteps::of(&self.time, &months, note.into_iter().collect())
            }
        }
    }

    fn no_month(&self, number: u8) -> ClimateFault {
        ClimateFault::Coordinate {
            variable: self.time.clone(),
            problem: format!("holds {number}; expected the months 1 to 12"),
        }
    }
}

impl FieldInMemory<'_> {
    /// The field's values in a part of its grid, each times `factor`.
    fn read(
        &self,
        part: &Part,
        shape: [usize; 3],
        quantity: Quantity,
        factor: f64,
    ) -> Result<Array3<f32>, ClimateFault> {
        if self.shape != shape {
            let described = |[steps, rows, columns]: [usize; 3]| {
                format!("{steps} steps, {rows} latitudes, {columns} longitudes")
            };
            return Err(ClimateFault::OtherGrid {
                variable: self.name.clone(),
                found: described(self.shape),
                reference: "its coordinates".to_owned(),
                expected: described(shape),
            });
        }
        let conversion = conversion_of(&self.name, self.units.clone(), quantity)?;
        let (unit, least, most) = quantity.unit_and_plausible_mean();
        let mut values = Array3::from_elem(part.shape(), f32::NAN);
        let (rows, columns) = (part.rows.all_places(), part.columns.all_places());
        for ((month, row, column), value) in values.indexed_iter_mut() {
            let stored = (self.values)([part.steps[month], rows[row], columns[column]]);
            if stored.is_nan() {
                continue;
            }
            let converted = stored * conversion.scale + conversion.offset;
            if !(least..=most).contains(&converted) {
                let node = [month, row, column];
                return Err(part.absurd(self.name.clone(), converted, node, (unit, least, most)));
            }
            *value = (converted * factor) as f32;
        }
        part.not_all_missing(values, &self.name)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::climate::SeasonDay;
    use crate::geodesy::Position;

    fn field(name: &str, units: Option<&str>, value: f64) -> FieldInMemory<'static> {
        FieldInMemory {
            name: name.to_owned(),
            units: units.map(str::to_owned),
            height_m: None,
            shape: [12, 3, 4],
            values: Box::new(move |[step, ..]| value + 0.1 * step as f64),
        }
    }

    fn winds() -> WindsInMemory<'static> {
        WindsInMemory {
            label: "my winds".to_owned(),
            time: "month".to_owned(),
            steps: StepMonths::Numbers((1..=12).collect()),
            latitudes_deg: ("lat".to_owned(), vec![-30.0, -35.0, -40.0]),
            longitudes_deg: ("lon".to_owned(), vec![90.0, 95.0, 100.0, 105.0]),
            eastward_wind: field("u", Some("m s-1"), 1.0),
            northward_wind: field("v", Some("knots"), 10.0),
            wind_speed: Some(field("w", Some("m/s"), 8.0)),
            air_temperature: None,
        }
    }

    fn open(winds: &WindsInMemory<'_>) -> Result<Climate, String> {
        let region = Region::between(-36.0, -34.0, 94.0, 101.0);
        let opened = Climate::from_fields(winds, &SourceOptions::default(), &region);
        opened.map_err(|error| error.to_string())
    }

    #[test]
    fn values_are_taken_from_their_places_in_our_units() {
        let mut winds = winds();
        // By row and column: a value that says where it stood.
        winds.eastward_wind.values = Box::new(|[_, row, column]| (row * 4 + column) as f64);
        let climate = open(&winds).unwrap();
        let place = Position::new(-35.0, 100.0).unwrap();
        let mid_march = SeasonDay::from_date(jiff::civil::date(2027, 3, 16));
        let local = climate.at(place, mid_march).unwrap();
        assert_eq!(local.wind.u_ms, 6.0);
        // March is step 2: 10.2 knots of 1852/3600 m/s.
        assert!((local.wind.v_ms - 10.2 * 1852.0 / 3600.0).abs() < 0.02);
    }

    #[test]
    fn steps_are_put_in_the_order_of_the_months() {
        let mut winds = winds();
        winds.steps = StepMonths::Numbers((0..12).map(|step| (step + 6) % 12 + 1).collect());
        let shifted = open(&winds).unwrap();
        // July is the first step.
        assert_eq!(shifted.wind.u_ms[[6, 0, 0]], 1.0);
        winds.steps = StepMonths::IntoYear((0..12).map(|step| f64::from(step) + 0.5).collect());
        assert_eq!(open(&winds).unwrap().wind.u_ms[[0, 0, 0]], 1.0);
        winds.steps = StepMonths::Numbers(vec![1; 12]);
        assert!(open(&winds).unwrap_err().contains("both in January"));
    }

    #[test]
    fn what_is_wrong_is_said_with_its_name() {
        let refused = |change: fn(&mut WindsInMemory<'static>)| {
            let mut winds = winds();
            change(&mut winds);
            open(&winds).unwrap_err()
        };
        assert_eq!(
            refused(|winds| winds.eastward_wind.units = None),
            "wind climate my winds: variable 'u' has no units; allowed: m s-1, knots or km h-1"
        );
        assert_eq!(
            refused(|winds| winds.northward_wind.units = Some("K".to_owned())),
            "wind climate my winds: variable 'v' has units 'K'; allowed: m s-1, knots or km h-1"
        );
        let missing = refused(|winds| winds.northward_wind.values = Box::new(|_| f64::NAN));
        assert!(
            missing.contains("variable 'v' has no value at all in latitudes"),
            "{missing}"
        );
        let absurd = refused(|winds| winds.eastward_wind.values = Box::new(|_| 300.0));
        assert!(
            absurd.contains("variable 'u' is 300.00 m/s in January at"),
            "{absurd}"
        );
        let series = refused(|winds| winds.eastward_wind.shape[0] = 24);
        assert!(
            series.contains("variable 'u' has 24 time step(s)"),
            "{series}"
        );
        let grid = refused(|winds| winds.northward_wind.shape[1] = 2);
        assert!(
            grid.contains("variable 'v' is on the grid (12 steps, 2"),
            "{grid}"
        );
        let far = refused(|winds| winds.longitudes_deg.1 = vec![0.0, 5.0, 10.0, 15.0]);
        assert!(far.contains("they do not meet"), "{far}");
    }

    #[test]
    fn winds_are_found_by_name_or_standard_name() {
        let named = |name: &str, standard_name: Option<&str>| NamedVariable {
            name: name.to_owned(),
            standard_name: standard_name.map(str::to_owned),
            dimensions: 3,
        };
        let variables = [
            named("sst", None),
            named("to_north", Some("northward_wind")),
            named("u10", None),
        ];
        let options = SourceOptions::default();
        let found = WindVariables::find(&variables, "ds", &options).unwrap();
        assert_eq!((found.eastward_wind, found.northward_wind), (2, 1));
        let error = WindVariables::find(&variables[..2], "ds", &options).unwrap_err();
        let text = error.to_string();
        assert!(
            text.starts_with("wind climate ds: has no eastward wind"),
            "{text}"
        );
        assert!(text.ends_with("the file has: sst, to_north"), "{text}");
    }
}
