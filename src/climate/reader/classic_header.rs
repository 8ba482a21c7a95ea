//! The length a classic NetCDF file must have.
//!
//! The C library opens a classic file that was cut short and gives zeros for what is missing: calm
//! seas where there is no data. It believes a header with a flipped bit too, and gives another
//! variable's numbers. So the header is walked here, the length it promises compared with the file's,
//! and what it says twice compared with itself: each variable's size with its type and dimensions,
//! its place with those of the others. The format is that of the NetCDF Users Guide, "File Format
//! Specifications" (CDF-1, CDF-2 and CDF-5), from memory. The header is not trusted: sums are
//! checked, nothing is allocated by a length it states, and it is given up once it is longer than
//! any real one.

use std::io::{self, Read};

/// No valid header is longer; reading stops there.
const MOST_HEADER_BYTES: u64 = 16 << 20;

/// The longest name NetCDF allows (netcdf.h, NC_MAX_NAME).
const MOST_NAME_BYTES: u64 = 256;

/// Larger variables may not state their size: the field was a signed number of 32 bits at first.
const MOST_STATED_BYTES: u64 = i32::MAX as u64 - 3;

const TAG_DIMENSIONS: u32 = 0x0A;
const TAG_VARIABLES: u32 = 0x0B;
const TAG_ATTRIBUTES: u32 = 0x0C;

/// What is wrong with a classic header.
#[derive(Debug)]
pub(super) enum HeaderFault {
    /// The file ends inside the header.
    EndsInHeader,
    /// The header contradicts itself.
    Implausible(&'static str),
    /// The operating system does not give the bytes.
    Unreadable(io::Error),
}

/// The bytes a classic file of this header needs, without the padding at its end.
///
/// A file written as a stream does not state how many records it has; then only the part before
/// the records is counted.
pub(super) fn needed_bytes(file: impl Read) -> Result<u64, HeaderFault> {
    let mut header = Header::new(file)?;
    let records = header.record_count()?;
    let dimension_lengths = header.dimensions()?;
    header.skip_attributes()?;
    let variables = header.variables(&dimension_lengths, records)?;
    check_places(&variables, header.walked_bytes())?;
    end_of_data(&variables, records)
}

/// Where a variable's data lie. A record variable has `bytes` in each record.
struct Extent {
    begin: u64,
    bytes: u64,
    in_records: bool,
}

/// Refuses variables that lie over one another, over the header, behind the records, or askew: all
/// that lies before a variable is padded to four bytes.
fn check_places(variables: &[Extent], header_bytes: u64) -> Result<(), HeaderFault> {
    let mut by_place: Vec<&Extent> = variables.iter().filter(|one| one.bytes > 0).collect();
    by_place.sort_by_key(|variable| variable.begin);
    let mut free_from = header_bytes;
    let mut records_began = false;
    for variable in by_place {
        if variable.begin < free_from || (records_began && !variable.in_records) {
            return Err(HeaderFault::Implausible(
                "a variable lies where something else is",
            ));
        }
        if !variable.begin.is_multiple_of(4) {
            return Err(HeaderFault::Implausible("a variable begins where none can"));
        }
        records_began |= variable.in_records;
        free_from = variable.begin.saturating_add(variable.bytes);
    }
    Ok(())
}

fn end_of_data(variables: &[Extent], records: Option<u64>) -> Result<u64, HeaderFault> {
    let too_long = HeaderFault::Implausible("its variables are longer than any file");
    let mut in_records = variables.iter().filter(|variable| variable.in_records);
    let record_bytes = match (in_records.next(), in_records.next()) {
        (None, _) => Some(0),
        // A record variable alone is not padded.
        (Some(only), None) => Some(only.bytes),
        _ => variables
            .iter()
            .filter(|variable| variable.in_records)
            .try_fold(0u64, |sum, variable| {
                sum.checked_add(padded(variable.bytes)?)
            }),
    };
    let end = |variable: &Extent| {
        let before = if !variable.in_records {
            0
        } else {
            match records {
                None | Some(0) => return Some(0),
                Some(records) => record_bytes?.checked_mul(records - 1)?,
            }
        };
        variable
            .begin
            .checked_add(before)?
            .checked_add(variable.bytes)
    };
    variables
        .iter()
        .try_fold(0, |furthest, variable| Some(end(variable)?.max(furthest)))
        .ok_or(too_long)
}

fn padded(bytes: u64) -> Option<u64> {
    bytes.checked_next_multiple_of(4)
}

struct Header<R> {
    file: io::Take<R>,
    /// CDF-5 counts in 8 bytes.
    wide_counts: bool,
    /// CDF-2 and CDF-5 give places in the file in 8 bytes.
    wide_offsets: bool,
}

impl<R: Read> Header<R> {
    fn new(file: R) -> Result<Self, HeaderFault> {
        let mut header = Self {
            file: file.take(MOST_HEADER_BYTES),
            wide_counts: false,
            wide_offsets: false,
        };
        let [c, d, f, version] = header.bytes()?;
        if [c, d, f] != *b"CDF" || ![1, 2, 5].contains(&version) {
            return Err(HeaderFault::Implausible(
                "it does not begin as a classic file",
            ));
        }
        header.wide_counts = version == 5;
        header.wide_offsets = version != 1;
        Ok(header)
    }

    /// How much of the file was read so far.
    fn walked_bytes(&self) -> u64 {
        MOST_HEADER_BYTES - self.file.limit()
    }

    fn bytes<const N: usize>(&mut self) -> Result<[u8; N], HeaderFault> {
        let mut bytes = [0; N];
        match self.file.read_exact(&mut bytes) {
            Ok(()) => Ok(bytes),
            Err(error) if error.kind() == io::ErrorKind::UnexpectedEof => Err(self.ended()),
            Err(error) => Err(HeaderFault::Unreadable(error)),
        }
    }

    fn ended(&self) -> HeaderFault {
        if self.file.limit() == 0 {
            HeaderFault::Implausible("its header is longer than 16 MiB")
        } else {
            HeaderFault::EndsInHeader
        }
    }

    fn u32(&mut self) -> Result<u32, HeaderFault> {
        Ok(u32::from_be_bytes(self.bytes()?))
    }

    fn u64(&mut self) -> Result<u64, HeaderFault> {
        Ok(u64::from_be_bytes(self.bytes()?))
    }

    /// A count or a length.
    fn count(&mut self) -> Result<u64, HeaderFault> {
        if self.wide_counts {
            self.u64()
        } else {
            Ok(self.u32()?.into())
        }
    }

    fn offset(&mut self) -> Result<u64, HeaderFault> {
        if self.wide_offsets {
            self.u64()
        } else {
            Ok(self.u32()?.into())
        }
    }

    /// The number of records; `None` where the file was written as a stream.
    fn record_count(&mut self) -> Result<Option<u64>, HeaderFault> {
        let streaming = if self.wide_counts {
            u64::MAX
        } else {
            u32::MAX.into()
        };
        Ok(Some(self.count()?).filter(|&records| records != streaming))
    }

    /// The number of entries in a list marked `tag` or absent.
    fn list(&mut self, tag: u32) -> Result<u64, HeaderFault> {
        let (found, entries) = (self.u32()?, self.count()?);
        if found != tag && (found != 0 || entries != 0) {
            return Err(HeaderFault::Implausible(
                "a list in its header has a wrong mark",
            ));
        }
        Ok(entries)
    }

    fn skip(&mut self, bytes: u64) -> Result<(), HeaderFault> {
        let skipped = io::copy(&mut self.file.by_ref().take(bytes), &mut io::sink())
            .map_err(HeaderFault::Unreadable)?;
        if skipped < bytes {
            Err(self.ended())
        } else {
            Ok(())
        }
    }

    fn skip_padded(&mut self, bytes: Option<u64>) -> Result<(), HeaderFault> {
        let bytes = bytes.and_then(padded).ok_or(HeaderFault::Implausible(
            "an entry in its header is longer than any file",
        ))?;
        self.skip(bytes)
    }

    /// Reads past a name, which the binding to the C library takes for text without asking.
    fn skip_name(&mut self) -> Result<(), HeaderFault> {
        let length = self.count()?;
        if length > MOST_NAME_BYTES {
            return Err(HeaderFault::Implausible("a name in its header is too long"));
        }
        let mut name = Vec::new();
        self.file
            .by_ref()
            .take(length)
            .read_to_end(&mut name)
            .map_err(HeaderFault::Unreadable)?;
        if (name.len() as u64) < length {
            return Err(self.ended());
        }
        if std::str::from_utf8(&name).is_err() {
            return Err(HeaderFault::Implausible("a name in its header is not text"));
        }
        self.skip(padded(length).map_or(0, |padded| padded - length))
    }

    /// The length of every dimension; 0 marks the one that grows by records.
    fn dimensions(&mut self) -> Result<Vec<u64>, HeaderFault> {
        let mut lengths = Vec::new();
        for _ in 0..self.list(TAG_DIMENSIONS)? {
            self.skip_name()?;
            lengths.push(self.count()?);
        }
        Ok(lengths)
    }

    fn skip_attributes(&mut self) -> Result<(), HeaderFault> {
        for _ in 0..self.list(TAG_ATTRIBUTES)? {
            self.skip_name()?;
            let value_bytes = self.value_bytes()?;
            let values = self.count()?;
            self.skip_padded(values.checked_mul(value_bytes))?;
        }
        Ok(())
    }

    /// The bytes one value of the type that follows takes.
    fn value_bytes(&mut self) -> Result<u64, HeaderFault> {
        let kind = self.u32()?;
        match kind {
            1 | 2 => Ok(1),
            3 => Ok(2),
            4 | 5 => Ok(4),
            6 => Ok(8),
            // Only CDF-5, which has the wide counts, has unsigned and 64-bit integers.
            7 if self.wide_counts => Ok(1),
            8 if self.wide_counts => Ok(2),
            9 if self.wide_counts => Ok(4),
            10 | 11 if self.wide_counts => Ok(8),
            _ => Err(HeaderFault::Implausible(
                "a value in its header has an unknown type",
            )),
        }
    }

    fn variables(
        &mut self,
        dimension_lengths: &[u64],
        records: Option<u64>,
    ) -> Result<Vec<Extent>, HeaderFault> {
        let mut variables = Vec::new();
        for _ in 0..self.list(TAG_VARIABLES)? {
            variables.push(self.variable(dimension_lengths, records)?);
        }
        Ok(variables)
    }

    fn variable(
        &mut self,
        dimension_lengths: &[u64],
        records: Option<u64>,
    ) -> Result<Extent, HeaderFault> {
        self.skip_name()?;
        let (mut values, mut in_records) = (Some(1u64), false);
        for position in 0..self.count()? {
            let length = usize::try_from(self.count()?)
                .ok()
                .and_then(|dimension| dimension_lengths.get(dimension))
                .ok_or(HeaderFault::Implausible(
                    "a variable has a dimension that is not there",
                ))?;
            match (length, position) {
                (0, 0) => in_records = true,
                _ => values = values.and_then(|values| values.checked_mul(*length)),
            }
        }
        self.skip_attributes()?;
        let value_bytes = self.value_bytes()?;
        let stated_bytes = self.count()?;
        let begin = self.offset()?;
        let bytes = values
            .and_then(|values| values.checked_mul(value_bytes))
            .ok_or(HeaderFault::Implausible(
                "a variable is longer than any file",
            ))?;
        // The size stated overflows in large files, so what counts is the one worked out. Some
        // writers leave out the padding, or state nothing before the first record.
        let is_stated = bytes == stated_bytes
            || padded(bytes) == Some(stated_bytes)
            || (in_records && records == Some(0));
        if !is_stated && bytes <= MOST_STATED_BYTES {
            return Err(HeaderFault::Implausible(
                "the size of a variable is not that of its type and dimensions",
            ));
        }
        Ok(Extent {
            begin,
            bytes,
            in_records,
        })
    }
}

#[cfg(test)]
#[path = "classic_header_tests.rs"]
mod tests;
