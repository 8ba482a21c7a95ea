//! The fields that the program carries: a header and the packed numbers of each field.
//!
//! The form is described in fixtures/climate/README.md; scripts/build-embedded writes it.

use std::io::Read as _;

use flate2::read::ZlibDecoder;
use ndarray::Array3;
use serde::Deserialize;

use super::error::ClimateFault;
use super::region::Region;
use super::window::{self, Window};

/// The last byte is the version of the form.
const MARK: &[u8] = b"OFGRID\0\x01";

/// A stored number takes two bytes.
const NUMBER_BYTES: usize = 2;

/// Fields on one grid, not unpacked yet.
pub(super) struct Packed {
    header: Header,
    body: &'static [u8],
}

/// What is needed of the header.
#[derive(Deserialize)]
struct Header {
    title: String,
    years: Vec<i64>,
    latitudes_deg: Vec<f64>,
    longitudes_deg: Vec<f64>,
    fields: Vec<FieldHeader>,
}

#[derive(Deserialize)]
struct FieldHeader {
    name: String,
    steps: usize,
    scale: f64,
    offset: f64,
    missing: i16,
    /// The length of its packed numbers.
    bytes: usize,
}

/// Fields that cannot be read.
#[derive(Debug, thiserror::Error)]
pub(super) enum PackedFault {
    #[error("does not begin with the mark of packed fields")]
    Mark,
    #[error("ends too early")]
    Short,
    #[error("the header cannot be read: {0}")]
    Header(#[from] serde_json::Error),
    #[error("a grid's longitudes: {0}")]
    Longitudes(&'static str),
    #[error("has no field '{0}'")]
    NoField(&'static str),
    #[error("field '{0}' cannot be unpacked")]
    Field(&'static str),
}

impl From<PackedFault> for ClimateFault {
    fn from(fault: PackedFault) -> Self {
        Self::Damaged {
            doing: "unpacking it".to_owned(),
            reason: fault.to_string(),
        }
    }
}

impl Packed {
    pub(super) fn read(bytes: &'static [u8]) -> Result<Self, PackedFault> {
        let (header, body) = header_and_body(bytes)?;
        Ok(Self {
            header: serde_json::from_slice(header)?,
            body,
        })
    }

    pub(super) fn title(&self) -> &str {
        &self.header.title
    }

    /// The years of fields that have a step for each month of each.
    pub(super) fn years(&self) -> &[i64] {
        &self.header.years
    }

    /// The rows and columns that `region` needs; [`ClimateFault::Misses`] where the grid has none of it.
    pub(super) fn part(&self, region: &Region) -> Result<PackedPart<'_>, ClimateFault> {
        let (latitudes_deg, longitudes_deg) =
            (&self.header.latitudes_deg, &self.header.longitudes_deg);
        let columns = window::columns(longitudes_deg, region).map_err(PackedFault::Longitudes)?;
        let (Some(rows), Some(columns)) = (window::rows(latitudes_deg, region), columns) else {
            return Err(ClimateFault::Misses {
                grid: window::describe(latitudes_deg, longitudes_deg),
                region: *region,
            });
        };
        Ok(PackedPart {
            packed: self,
            rows,
            columns,
        })
    }

    /// The field's header and its stored numbers: all low bytes, then all high bytes.
    fn unpacked(&self, name: &'static str) -> Result<(&FieldHeader, Vec<u8>), PackedFault> {
        let mut start = 0;
        for field in &self.header.fields {
            let end = start + field.bytes;
            if field.name == name {
                let packed = self.body.get(start..end).ok_or(PackedFault::Short)?;
                let nodes = self.header.latitudes_deg.len() * self.header.longitudes_deg.len();
                let length = field.steps * nodes * NUMBER_BYTES;
                let mut numbers = Vec::with_capacity(length);
                // One byte more than there may be shows that there are too many.
                let mut unpacked = ZlibDecoder::new(packed).take(length as u64 + 1);
                return match unpacked.read_to_end(&mut numbers) {
                    Ok(found) if found == length => Ok((field, numbers)),
                    _ => Err(PackedFault::Field(name)),
                };
            }
            start = end;
        }
        Err(PackedFault::NoField(name))
    }
}

/// The header, which is JSON, and the packed numbers behind it.
pub(super) fn header_and_body(bytes: &[u8]) -> Result<(&[u8], &[u8]), PackedFault> {
    let rest = bytes.strip_prefix(MARK).ok_or(PackedFault::Mark)?;
    let (length, rest) = rest.split_first_chunk::<4>().ok_or(PackedFault::Short)?;
    let length = u32::from_le_bytes(*length) as usize;
    rest.split_at_checked(length).ok_or(PackedFault::Short)
}

/// The part of packed fields that a region needs.
pub(super) struct PackedPart<'p> {
    packed: &'p Packed,
    pub(super) rows: Window,
    pub(super) columns: Window,
}

impl PackedPart<'_> {
    /// A field by step, latitude and longitude, each value times `factor`; NaN where one is missing.
    pub(super) fn values(
        &self,
        name: &'static str,
        factor: f64,
    ) -> Result<Array3<f32>, PackedFault> {
        self.numbers(name, |field, stored| {
            if stored == field.missing {
                return f32::NAN;
            }
            // What the NetCDF reader does, in its order, for the same bits.
            ((f64::from(stored) * field.scale + field.offset) * factor) as f32
        })
    }

    /// A field of marks by step, latitude and longitude.
    pub(super) fn marks(&self, name: &'static str) -> Result<Array3<bool>, PackedFault> {
        self.numbers(name, |_, stored| stored != 0)
    }

    fn numbers<T>(
        &self,
        name: &'static str,
        value: impl Fn(&FieldHeader, i16) -> T,
    ) -> Result<Array3<T>, PackedFault> {
        let (field, numbers) = self.packed.unpacked(name)?;
        let (low, high) = numbers.split_at(numbers.len() / NUMBER_BYTES);
        let header = &self.packed.header;
        let (row_count, column_count) = (header.latitudes_deg.len(), header.longitudes_deg.len());
        let whole = |window: &Window| 0..window.axis.len();
        let rows = self.rows.places(whole(&self.rows));
        let columns = self.columns.places(whole(&self.columns));
        let shape = (field.steps, rows.len(), columns.len());
        Ok(Array3::from_shape_fn(shape, |(step, row, column)| {
            let at = (step * row_count + rows[row]) * column_count + columns[column];
            value(field, i16::from_le_bytes([low[at], high[at]]))
        }))
    }
}
