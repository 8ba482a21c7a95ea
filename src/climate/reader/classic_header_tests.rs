use netcdf::Options;
use proptest::prelude::*;

use super::*;

/// Classic, 64-bit offset and 64-bit data.
fn kinds() -> [fn() -> Options; 3] {
    [
        Options::empty,
        || Options::_64BIT_OFFSET,
        || Options::_64BIT_DATA,
    ]
}

/// A file of `records` records with the variables given by name and number of values to a record;
/// shorts where `in_records`, doubles else.
fn written(kind: fn() -> Options, records: usize, variables: &[(&str, usize, bool)]) -> Vec<u8> {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("classic.nc");
    let mut file = netcdf::create_with(&path, kind()).expect("create");
    file.add_attribute("title", "three letters and more")
        .expect("attribute");
    file.add_unlimited_dimension("time").expect("dimension");
    for (name, length, in_records) in variables {
        file.add_dimension(name, *length).expect("dimension");
        if *in_records {
            file.add_variable::<i16>(name, &["time", name])
                .expect("variable");
        } else {
            let mut variable = file.add_variable::<f64>(name, &[name]).expect("variable");
            variable
                .put_attribute("factors", vec![1i16, 2, 3])
                .expect("attribute");
        }
    }
    file.enddef().expect("end of definitions");
    for (name, length, in_records) in variables {
        let mut variable = file.variable_mut(name).expect("the variable");
        if *in_records {
            for record in 0..records {
                variable
                    .put_values(&vec![7i16; *length], (record, ..))
                    .expect("values");
            }
        } else {
            variable
                .put_values(&vec![1.5f64; *length], ..)
                .expect("values");
        }
    }
    file.close().expect("close");
    std::fs::read(&path).expect("the file's bytes")
}

#[test]
fn a_whole_file_is_as_long_as_its_header_says() {
    for kind in kinds() {
        for variables in [
            &[("a", 5, false)][..],
            &[("a", 5, false), ("r", 3, true)],
            &[("r", 3, true)],
            &[("r", 3, true), ("q", 5, true), ("a", 4, false)],
        ] {
            let bytes = written(kind, 7, variables);
            let needed = needed_bytes(&bytes[..]).expect("a valid header") as usize;
            // The last value may be followed by padding to four bytes.
            assert!(
                needed <= bytes.len() && needed + 4 > bytes.len(),
                "{variables:?}: {needed} of {}",
                bytes.len()
            );
        }
    }
}

#[test]
fn a_file_without_records_or_variables_needs_none() {
    for kind in kinds() {
        let bytes = written(kind, 0, &[("r", 3, true)]);
        assert!(needed_bytes(&bytes[..]).expect("a valid header") <= bytes.len() as u64);
        let bytes = written(kind, 0, &[]);
        assert_eq!(needed_bytes(&bytes[..]).expect("a valid header"), 0);
    }
}

#[test]
fn every_cut_is_noticed() {
    for kind in kinds() {
        let bytes = written(kind, 7, &[("a", 5, false), ("r", 4, true), ("q", 6, true)]);
        for length in 0..bytes.len() {
            let noticed = match needed_bytes(&bytes[..length]) {
                Ok(needed) => needed > length as u64,
                Err(HeaderFault::EndsInHeader) => true,
                Err(other) => panic!("{length} bytes: {other:?}"),
            };
            assert!(noticed, "{length} of {} bytes", bytes.len());
        }
    }
}

#[test]
fn absurd_counts_end_soon_and_allocate_nothing() {
    // A dimension list of 2^31 entries, and a name of 2^32 - 1 letters.
    let many = [
        b"CDF\x01\0\0\0\0\0\0\0\x0A\x7F\xFF\xFF\xFF".as_slice(),
        &[0; 64],
    ]
    .concat();
    assert!(matches!(
        needed_bytes(&many[..]),
        Err(HeaderFault::EndsInHeader)
    ));
    let long = [
        b"CDF\x01\0\0\0\0\0\0\0\x0A\0\0\0\x01\xFF\xFF\xFF\xFF".as_slice(),
        &[0; 64],
    ]
    .concat();
    assert!(matches!(
        needed_bytes(&long[..]),
        Err(HeaderFault::Implausible(_))
    ));
    // An endless file of zeros after a list of 2^63 entries.
    let start = b"CDF\x05\0\0\0\0\0\0\0\0\0\0\0\x0A\x7F\xFF\xFF\xFF\xFF\xFF\xFF\xFF";
    let endless = start.chain(io::repeat(0));
    assert!(matches!(
        needed_bytes(endless),
        Err(HeaderFault::Implausible(_))
    ));
}

#[test]
fn a_name_that_is_not_text_is_noticed() {
    let mut bytes = written(Options::empty, 7, &[("name", 3, true)]);
    let at = bytes
        .windows(4)
        .position(|four| four == b"name")
        .expect("the name");
    bytes[at] = 0xFF;
    assert!(matches!(
        needed_bytes(&bytes[..]),
        Err(HeaderFault::Implausible(_))
    ));
}

/// The last variable's type, size and place are the last of the header.
#[test]
fn every_flipped_bit_of_what_a_variable_states_is_noticed() {
    for kind in kinds() {
        for variables in [
            &[("a", 5, false), ("b", 3, false)][..],
            &[("a", 5, false), ("r", 3, true)],
            &[("q", 4, true), ("r", 3, true)],
        ] {
            let bytes = written(kind, 7, variables);
            let mut header = Header::new(&bytes[..]).expect("a header");
            let records = header.record_count().expect("records");
            let dimensions = header.dimensions().expect("dimensions");
            header.skip_attributes().expect("attributes");
            header.variables(&dimensions, records).expect("variables");
            let end = header.walked_bytes() as usize;
            let count = if header.wide_counts { 8 } else { 4 };
            let offset = if header.wide_offsets { 8 } else { 4 };
            for at in end - 4 - count - offset..end {
                for bit in 0..8 {
                    let mut spoilt = bytes.clone();
                    spoilt[at] ^= 1 << bit;
                    let noticed = match needed_bytes(&spoilt[..]) {
                        Ok(needed) => needed > bytes.len() as u64,
                        Err(_) => true,
                    };
                    assert!(noticed, "{variables:?}: byte {at}, bit {bit}");
                }
            }
        }
    }
}

#[test]
fn types_of_a_later_version_are_refused() {
    let bytes = written(kinds()[2], 7, &[("a", 5, false)]);
    assert!(needed_bytes(&bytes[..]).is_ok());
    let mut bytes = written(Options::empty, 7, &[("a", 5, false)]);
    let double = [0, 0, 0, 6, 0, 0, 0, 40];
    let at = bytes.windows(8).position(|eight| eight == double);
    bytes[at.expect("the type and the size") + 3] = 10;
    assert!(matches!(
        needed_bytes(&bytes[..]),
        Err(HeaderFault::Implausible(_))
    ));
}

/// 2 x 2^30 doubles: the size stated is the largest number there is.
#[test]
fn a_large_variable_does_not_state_its_size() {
    let word = u32::to_be_bytes;
    let bytes = [
        &b"CDF\x02"[..],
        &word(0),
        &[word(10), word(1), word(1), *b"x\0\0\0", word(1 << 31)].concat(),
        &[0; 8],
        &[word(11), word(1), word(1), *b"v\0\0\0", word(1), word(0)].concat(),
        &[0; 8],
        &[word(6), word(u32::MAX), word(0), word(84)].concat(),
    ]
    .concat();
    assert_eq!(bytes.len(), 84);
    assert_eq!(needed_bytes(&bytes[..]).expect("valid"), 84 + (8 << 31));
}

#[test]
fn a_stream_does_not_say_how_many_records_it_has() {
    let mut bytes = written(Options::empty, 7, &[("r", 3, true)]);
    bytes[4..8].fill(0xFF);
    assert_eq!(needed_bytes(&bytes[..]).expect("a valid header"), 0);
}

proptest! {
    #[test]
    fn no_header_makes_the_walk_panic(bytes in prop::collection::vec(any::<u8>(), 0..400), version in 0u8..6) {
        let with_mark = [b"CDF".as_slice(), &[version], &bytes].concat();
        let _ = needed_bytes(&with_mark[..]);
    }

    #[test]
    fn no_spoilt_header_makes_the_walk_panic(spoilt in prop::collection::vec((0usize..300, any::<u8>()), 1..6)) {
        let mut bytes = SOUND.with(Clone::clone);
        for (at, byte) in spoilt {
            let length = bytes.len();
            bytes[at % length] = byte;
        }
        let _ = needed_bytes(&bytes[..]);
    }
}

thread_local! {
    static SOUND: Vec<u8> = written(|| Options::_64BIT_OFFSET, 2, &[("a", 5, false), ("r", 4, true)]);
}
