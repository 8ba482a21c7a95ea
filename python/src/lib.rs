//! The extension module `offing._offing`: what the package `offing` for Python is built on.
//!
//! It holds voyages, winds and answers; it runs a question on a thread of its own while Python goes on, and
//! turns an error into an exception with the same words. What a user of Python calls is in `offing/`.

mod answer;
mod ask;
mod atlas;
mod error;
mod held;
mod tables;
mod voyage;
mod winds;

/// The native part of the package `offing`.
#[pyo3::pymodule]
mod _offing {
    use offing::passage::ExposureKind;
    use pyo3::prelude::*;

    #[pymodule_init]
    fn init(module: &Bound<'_, PyModule>) -> PyResult<()> {
        let exposures = ExposureKind::ALL.map(|kind| kind.names().id);
        module.add("EXPOSURES", exposures)?;
        module.add("READS_NETCDF", cfg!(feature = "netcdf"))
    }

    #[pymodule_export]
    use crate::answer::Answer;
    #[pymodule_export]
    use crate::ask::{compare, legs, rally, season, shape, stores, years};
    #[pymodule_export]
    use crate::atlas::{atlas, find_port};
    #[pymodule_export]
    use crate::error::OffingError;
    #[pymodule_export]
    use crate::held::find_winds;
    #[pymodule_export]
    use crate::voyage::Voyage;
    #[pymodule_export]
    use crate::winds::Winds;
}
