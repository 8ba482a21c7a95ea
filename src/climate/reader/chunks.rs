//! The chunks of a NetCDF-4 variable, read and inflated beside the HDF5 library.
//!
//! That library lets one thread in at a time, so that one processor alone would inflate; and its cache is
//! smaller than many files' chunks, which are then inflated once for every part that is asked for. Here the
//! library is asked only where each chunk lies. What it alone can read (other packings and numbers, other
//! orders of dimensions, chunks that were never written) is left to it.

use std::fs::File;
use std::io::{Read, Seek, SeekFrom};
use std::path::Path;
use std::sync::{Mutex, PoisonError};

use flate2::{Decompress, FlushDecompress, Status};
use hdf5_metno::datatype::ByteOrder;
use hdf5_metno::filters::Filter;
use hdf5_metno::types::{FloatSize, IntSize, TypeDescriptor};
use rayon::prelude::*;

use super::layout::Layout;
use super::window::Run;
use crate::climate::error::ClimateFault;

/// The library finds each chunk by counting from the first: more take too long to find.
const MOST_CHUNKS: usize = 16_384;

/// A chunk that is larger in memory is left to the library.
const MOST_CHUNK_BYTES: usize = 256 << 20;

/// A file that begins otherwise has a block of its user's own, which places are not counted from.
const MARK: &[u8] = b"\x89HDF\r\n\x1a\n";

/// What a variable's numbers are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// 16 bits.
    Short,
    /// Single precision.
    Single,
}

impl Kind {
    fn bytes(self) -> usize {
        match self {
            Self::Short => 2,
            Self::Single => 4,
        }
    }
}

/// Where the chunks of a variable lie. All lengths are along time, latitude and longitude.
pub(super) struct Chunks {
    variable: String,
    file: Mutex<File>,
    kind: Kind,
    is_shuffled: bool,
    is_deflated: bool,
    /// The lengths of a chunk.
    lengths: [usize; 3],
    /// How many chunks there are.
    counts: [usize; 3],
    /// The first byte and the number of bytes of each, by time, latitude and longitude.
    places: Vec<(u64, usize)>,
}

/// What is wanted of a variable: time steps, and the file's rows and columns in the order they are to have.
pub(super) struct Wanted<'w> {
    pub(super) steps: Run,
    pub(super) rows: &'w [usize],
    pub(super) columns: &'w [usize],
}

impl Chunks {
    /// The chunks of the variable called `name` in the file at `path`; none where the library has to read
    /// it, for whatever reason.
    pub(super) fn of(path: &Path, name: &str, layout: &Layout) -> Option<Self> {
        if !layout.is_time_row_column() {
            return None;
        }
        let mut file = File::open(path).ok()?;
        let mut start = [0; MARK.len()];
        file.read_exact(&mut start).ok()?;
        if start != MARK {
            return None;
        }
        let dataset = hdf5_metno::File::open(path).ok()?.dataset(name).ok()?;
        let (shape, chunk) = (dataset.shape(), dataset.chunk()?);
        let stored = dataset.dtype().ok()?;
        let kind = match stored.to_descriptor().ok()? {
            TypeDescriptor::Integer(IntSize::U2) => Kind::Short,
            TypeDescriptor::Float(FloatSize::U4) => Kind::Single,
            _ => return None,
        };
        let (is_shuffled, is_deflated) = match dataset.filters()[..] {
            [] => (false, false),
            [Filter::Deflate(_)] => (false, true),
            [Filter::Shuffle] => (true, false),
            [Filter::Shuffle, Filter::Deflate(_)] => (true, true),
            _ => return None,
        };
        let [shape, lengths] = [&shape, &chunk].map(|lengths| layout.by_role(lengths));
        let counts: [usize; 3] = std::array::from_fn(|role| shape[role].div_ceil(lengths[role]));
        let count: usize = counts.iter().product();
        let bytes = lengths.iter().product::<usize>() * kind.bytes();
        let is_all = dataset.num_chunks() == Some(count);
        let is_handy = count <= MOST_CHUNKS && bytes <= MOST_CHUNK_BYTES;
        if stored.byte_order() != ByteOrder::LittleEndian || !is_all || !is_handy {
            return None;
        }
        let mut places = vec![None; count];
        for index in 0..count {
            let chunk = dataset.chunk_info(index)?;
            if chunk.filter_mask != 0 {
                return None;
            }
            let offset: Vec<usize> = chunk.offset.iter().map(|&at| at as usize).collect();
            let [step, row, column] = layout.by_role(&offset);
            let at = (step / lengths[0] * counts[1] + row / lengths[1]) * counts[2]
                + column / lengths[2];
            *places.get_mut(at)? = Some((chunk.addr, chunk.size as usize));
        }
        Some(Self {
            variable: name.to_owned(),
            file: Mutex::new(file),
            kind,
            is_shuffled,
            is_deflated,
            lengths,
            counts,
            places: places.into_iter().collect::<Option<_>>()?,
        })
    }

    /// The time steps of a chunk.
    pub(super) fn steps(&self) -> usize {
        self.lengths[0]
    }

    pub(super) fn kind(&self) -> Kind {
        self.kind
    }

    /// Reads 16-bit numbers and puts each one's `value` in its place, by step, row and column.
    ///
    /// # Errors
    /// A file that ends before, or a chunk that is damaged.
    pub(super) fn read_shorts(
        &self,
        wanted: &Wanted,
        value: impl Fn(u16) -> f32 + Sync,
        values: &mut [f32],
    ) -> Result<(), ClimateFault> {
        self.read(wanted, values, |bytes: [&[u8]; 2], to| {
            for ((to, &low), &high) in to.iter_mut().zip(bytes[0]).zip(bytes[1]) {
                *to = value(u16::from_le_bytes([low, high]));
            }
        })
    }

    /// Likewise for numbers of single precision.
    ///
    /// # Errors
    /// As above.
    pub(super) fn read_singles(
        &self,
        wanted: &Wanted,
        value: impl Fn(f32) -> f32 + Sync,
        values: &mut [f32],
    ) -> Result<(), ClimateFault> {
        self.read(wanted, values, |[a, b, c, d]: [&[u8]; 4], to| {
            let bytes = a.iter().zip(b).zip(c).zip(d);
            for (to, (((&a, &b), &c), &d)) in to.iter_mut().zip(bytes) {
                *to = value(f32::from_le_bytes([a, b, c, d]));
            }
        })
    }

    /// Inflates the chunks that are needed, then has `put` fill each run of a row from the first bytes of its
    /// numbers, their second bytes and so on.
    fn read<const BYTES: usize>(
        &self,
        wanted: &Wanted,
        values: &mut [f32],
        put: impl Fn([&[u8]; BYTES], &mut [f32]) + Sync,
    ) -> Result<(), ClimateFault> {
        let [length, row_length, column_length] = self.lengths;
        let (first, last) = (wanted.steps.start, wanted.steps.start + wanted.steps.count);
        let times: Vec<usize> = (first / length..last.div_ceil(length)).collect();
        let rows = chunks_of(wanted.rows, row_length);
        let columns = chunks_of(wanted.columns, column_length);
        let needed: Vec<usize> = times
            .iter()
            .flat_map(|time| rows.iter().map(move |row| time * self.counts[1] + row))
            .flat_map(|row| {
                columns
                    .iter()
                    .map(move |column| row * self.counts[2] + column)
            })
            .collect();
        let inflated: Vec<Vec<u8>> = needed
            .par_iter()
            .map(|&chunk| self.inflated(chunk))
            .collect::<Result<_, _>>()?;
        let runs = runs(wanted.columns, column_length);
        let numbers = self.lengths.iter().product::<usize>();
        let width = wanted.columns.len();
        values
            .par_chunks_mut(width)
            .enumerate()
            .with_min_len(8)
            .for_each(|(line, values)| {
                let step = wanted.steps.start + line / wanted.rows.len();
                let row = wanted.rows[line % wanted.rows.len()];
                let of_rows = rows.partition_point(|&chunk| chunk < row / row_length);
                let of_row = (step / length - times[0]) * rows.len() + of_rows;
                let line_start = (step % length * row_length + row % row_length) * column_length;
                for run in &runs {
                    let chunk = columns.partition_point(|&chunk| chunk < run.chunk);
                    let bytes = &inflated[of_row * columns.len() + chunk];
                    let at = line_start + run.start;
                    let to = &mut values[run.place..run.place + run.count];
                    if self.is_shuffled {
                        put(
                            std::array::from_fn(|byte| &bytes[byte * numbers + at..][..run.count]),
                            to,
                        );
                    } else {
                        self.put_plain(&bytes[at * BYTES..][..run.count * BYTES], to, &put);
                    }
                }
            });
        Ok(())
    }

    /// The same where the bytes of a number lie together.
    fn put_plain<const BYTES: usize>(
        &self,
        bytes: &[u8],
        to: &mut [f32],
        put: &impl Fn([&[u8]; BYTES], &mut [f32]),
    ) {
        for (number, to) in bytes.chunks_exact(BYTES).zip(to) {
            let each = std::array::from_fn(|byte| &number[byte..=byte]);
            put(each, std::slice::from_mut(to));
        }
    }

    /// The bytes of a chunk as they were before it was deflated.
    fn inflated(&self, chunk: usize) -> Result<Vec<u8>, ClimateFault> {
        let damaged = |reason: String| ClimateFault::Damaged {
            doing: format!("variable '{}'", self.variable),
            reason,
        };
        let (start, count) = self.places[chunk];
        let mut stored = Vec::new();
        {
            let mut file = self.file.lock().unwrap_or_else(PoisonError::into_inner);
            file.seek(SeekFrom::Start(start))?;
            // Only as much is taken into memory as there is, whatever the file says.
            file.by_ref().take(count as u64).read_to_end(&mut stored)?;
        }
        if stored.len() < count {
            return Err(damaged(format!(
                "the file ends within its chunk {}",
                chunk + 1
            )));
        }
        let wanted = self.lengths.iter().product::<usize>() * self.kind.bytes();
        if !self.is_deflated {
            if stored.len() == wanted {
                return Ok(stored);
            }
            return Err(damaged(format!(
                "its chunk {} is of another length",
                chunk + 1
            )));
        }
        let mut inflated = vec![0; wanted];
        let mut inflater = Decompress::new(true);
        let ended = inflater.decompress(&stored, &mut inflated, FlushDecompress::Finish);
        match ended {
            Ok(Status::StreamEnd) if inflater.total_out() == wanted as u64 => Ok(inflated),
            Ok(_) => Err(damaged(format!(
                "its chunk {} is of another length",
                chunk + 1
            ))),
            Err(error) => Err(damaged(format!(
                "its chunk {} does not inflate: {error}",
                chunk + 1
            ))),
        }
    }
}

/// The chunks that places along a dimension lie in, in order, each once.
fn chunks_of(places: &[usize], length: usize) -> Vec<usize> {
    let mut chunks: Vec<usize> = places.iter().map(|place| place / length).collect();
    chunks.sort_unstable();
    chunks.dedup();
    chunks
}

/// Columns that follow one another in one chunk.
struct ColumnRun {
    /// The first one's place in what is filled.
    place: usize,
    chunk: usize,
    /// Its place in the chunk.
    start: usize,
    count: usize,
}

fn runs(columns: &[usize], length: usize) -> Vec<ColumnRun> {
    let mut place = 0;
    columns
        .chunk_by(|&a, &b| a + 1 == b && a / length == b / length)
        .map(|run| {
            let (first, count) = (run[0], run.len());
            place += count;
            ColumnRun {
                place: place - count,
                chunk: first / length,
                start: first % length,
                count,
            }
        })
        .collect()
}
