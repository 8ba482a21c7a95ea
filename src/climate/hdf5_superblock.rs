//! The length a NetCDF-4 file must have, by the superblock of the HDF5 file it is.
//!
//! The HDF5 library refuses a file that was cut short, but on any thread other than the one that
//! used it first it also prints its own stack of errors. So the length is checked before it is
//! asked. Layout by the HDF5 File Format Specification, section II.A, from memory.

/// The mark every HDF5 file bears.
pub(super) const HDF5_MARK: &[u8] = b"\x89HDF\r\n\x1a\n";

/// Places the superblock may be, after a block of the user's own.
const STARTS: [usize; 4] = [0, 512, 1024, 2048];

/// Bytes from the start of a file in which the superblock of a usable file is found.
pub(super) const SEARCHED_BYTES: u64 = 2048 + 128;

/// Where the superblock begins in a file that starts with `start`.
pub(super) fn superblock(start: &[u8]) -> Option<&[u8]> {
    STARTS
        .iter()
        .filter_map(|&at| start.get(at..))
        .find(|rest| rest.starts_with(HDF5_MARK))
}

/// The bytes the file must have; `None` where the superblock ends early or is of a kind not known
/// here, which is left to the library.
pub(super) fn needed_bytes(superblock: &[u8]) -> Option<u64> {
    let version = *superblock.get(8)?;
    // In every version the address of the file's end is the third of the addresses.
    let (offset_bytes_at, addresses_at) = match version {
        0 => (13, 24),
        1 => (13, 28),
        2 | 3 => (9, 12),
        _ => return None,
    };
    let offset_bytes = usize::from(*superblock.get(offset_bytes_at)?);
    let end_at = addresses_at + 2 * offset_bytes;
    let address = superblock.get(end_at..end_at + offset_bytes)?;
    if address.len() > 8 {
        return None;
    }
    let mut bytes = [0; 8];
    bytes[..address.len()].copy_from_slice(address);
    Some(u64::from_le_bytes(bytes))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(options: netcdf::Options) -> Vec<u8> {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("four.nc");
        let mut file = netcdf::create_with(&path, options).expect("create");
        file.add_dimension("x", 5).expect("dimension");
        let mut variable = file.add_variable::<f64>("x", &["x"]).expect("variable");
        variable
            .put_values(&[1.0, 2.0, 3.0, 4.0, 5.0], ..)
            .expect("values");
        file.close().expect("close");
        std::fs::read(&path).expect("the file's bytes")
    }

    #[test]
    fn a_whole_file_is_as_long_as_its_superblock_says() {
        for options in [
            netcdf::Options::NETCDF4,
            netcdf::Options::NETCDF4 | netcdf::Options::CLASSIC,
        ] {
            let bytes = written(options);
            let superblock = superblock(&bytes).expect("a superblock");
            assert_eq!(needed_bytes(superblock), Some(bytes.len() as u64));
        }
    }

    #[test]
    fn the_file_carried_in_the_program_is_as_long_as_its_superblock_says() {
        let path = concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/fixtures/climate/ship-winds.nc"
        );
        let bytes = std::fs::read(path).expect("the file's bytes");
        assert_eq!(
            superblock(&bytes).and_then(needed_bytes),
            Some(bytes.len() as u64)
        );
    }

    #[test]
    fn the_old_superblock_is_known_and_a_strange_one_left_alone() {
        let mut old = [HDF5_MARK, &[0; 88]].concat();
        (old[13], old[14]) = (8, 8);
        old[40..48].copy_from_slice(&5000u64.to_le_bytes());
        assert_eq!(needed_bytes(&old), Some(5000));
        assert_eq!(needed_bytes(&old[..43]), None);
        old[13] = 255;
        assert_eq!(needed_bytes(&old), None);
        old[8] = 9;
        assert_eq!(needed_bytes(&old), None);
    }

    #[test]
    fn a_superblock_is_found_after_a_block_of_the_users_own() {
        let shifted = [&[0; 512], HDF5_MARK].concat();
        assert_eq!(superblock(&shifted), Some(HDF5_MARK));
        assert_eq!(superblock(&shifted[1..]), None);
    }
}
