//! The form in which a request and an answer go from process to process.
//!
//! A mark with a version, the value in postcard's encoding (each sequence with its length), the
//! length of that in eight bytes and its CRC-32 in four, both little-endian. Two programs of
//! different versions do not understand each other.

use std::io::{self, Write};

use serde::Serialize;
use serde::de::DeserializeOwned;

/// The last byte is the version.
const MARK: [u8; 8] = *b"OFFING\0\x01";

const TRAILER_BYTES: usize = 12;

/// A message that is not one of ours, or is not whole.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Malformed;

/// Writes a value as one message.
pub(super) fn send(value: &impl Serialize, to: impl Write) -> io::Result<()> {
    let mut to = Checked {
        to: io::BufWriter::new(to),
        bytes: 0,
        sum: crc32fast::Hasher::new(),
    };
    to.to.write_all(&MARK)?;
    postcard::to_io(value, &mut to).map_err(io::Error::other)?;
    let Checked { mut to, bytes, sum } = to;
    to.write_all(&bytes.to_le_bytes())?;
    to.write_all(&sum.finalize().to_le_bytes())?;
    to.flush()
}

/// The value in a message that holds nothing else.
pub(super) fn received<T: DeserializeOwned>(message: &[u8]) -> Result<T, Malformed> {
    let rest = message.strip_prefix(&MARK).ok_or(Malformed)?;
    let body_bytes = rest.len().checked_sub(TRAILER_BYTES).ok_or(Malformed)?;
    let (body, trailer) = rest.split_at(body_bytes);
    let length = (body.len() as u64).to_le_bytes();
    let sum = crc32fast::hash(body).to_le_bytes();
    if trailer != [&length[..], &sum[..]].concat() {
        return Err(Malformed);
    }
    match postcard::take_from_bytes(body) {
        Ok((value, [])) => Ok(value),
        _ => Err(Malformed),
    }
}

/// Counts what it hands on, and sums it up.
struct Checked<W> {
    to: W,
    bytes: u64,
    sum: crc32fast::Hasher,
}

impl<W: Write> Write for Checked<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let written = self.to.write(bytes)?;
        self.bytes += written as u64;
        self.sum.update(&bytes[..written]);
        Ok(written)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.to.flush()
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::climate::ClimateFault;
    use crate::climate::source::SourceOptions;

    fn sent(value: &impl Serialize) -> Vec<u8> {
        let mut message = Vec::new();
        send(value, &mut message).expect("a message");
        message
    }

    #[test]
    fn a_fault_says_the_same_after_the_way() {
        let faults = [
            ClimateFault::Unreadable(io::Error::from_raw_os_error(13)),
            ClimateFault::Unreadable(io::Error::other("no more paper")),
            SourceOptions::WIND_HEIGHT.check(0.5).unwrap_err().into(),
            ClimateFault::Months {
                variable: "u".to_owned(),
                found: 13,
                expected: "twelve".into(),
            },
        ];
        for fault in faults {
            let back: ClimateFault = received(&sent(&fault)).expect("whole");
            assert_eq!(back.to_string(), fault.to_string());
        }
    }

    #[test]
    fn more_than_a_message_is_none() {
        let message = sent(&vec![1.5f32, f32::NAN]);
        assert_eq!(received::<Vec<f32>>(&message).expect("whole").len(), 2);
        let longer = [&message[..], b"\n"].concat();
        assert_eq!(received::<Vec<f32>>(&longer).map(drop), Err(Malformed));
        let junk_first = [b"HDF5-DIAG", &message[..]].concat();
        assert_eq!(received::<Vec<f32>>(&junk_first).map(drop), Err(Malformed));
        // The value is whole and there is more behind it within the message.
        let two = sent(&(7u8, 9u8));
        assert_eq!(received::<u8>(&two), Err(Malformed));
    }

    proptest! {
        #[test]
        fn a_flipped_bit_is_noticed(at in 0usize..1000, bit in 0u8..8) {
            let mut message = sent(&(0..40).map(f64::from).collect::<Vec<_>>());
            let at = at % message.len();
            message[at] ^= 1 << bit;
            prop_assert_eq!(received::<Vec<f64>>(&message), Err(Malformed));
        }

        /// A sum that is right does not make what it sums up right.
        #[test]
        fn no_body_makes_the_receiver_panic(body in prop::collection::vec(any::<u8>(), 0..200)) {
            let length = (body.len() as u64).to_le_bytes();
            let sum = crc32fast::hash(&body).to_le_bytes();
            let message = [&MARK[..], &body, &length, &sum].concat();
            let _ = received::<Result<Vec<f64>, ClimateFault>>(&message);
            let _ = received::<SourceOptions>(&message);
        }
    }
}
