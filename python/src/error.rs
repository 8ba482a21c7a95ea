//! Errors as exceptions, in the words that the command line prints.

use offing::voyage::{Fault, VoyageError};
use pyo3::exceptions::PyValueError;
use pyo3::prelude::*;
use pyo3::types::PyDict;

pyo3::create_exception!(
    offing,
    OffingError,
    PyValueError,
    "A question that cannot be answered: the same message as the command line prints.\n\n\
     `faults` lists what is wrong with a voyage's entries, a dict each: `key` (such as \
     'boat.engine.fuel_litres'), `problem`, `hint`, and `file` and `line` where it was read from a file. \
     It is empty for other errors."
);

/// The exception with these words and no faults.
pub(crate) fn offing_error(py: Python<'_>, words: &str) -> PyErr {
    raised(py, words, &[])
}

/// The exception for an error of the library.
pub(crate) fn from_library(py: Python<'_>, error: impl Into<offing::Error>) -> PyErr {
    let error = error.into();
    match &error {
        offing::Error::Voyage(VoyageError::Entries(faults)) => {
            raised(py, &error.to_string(), faults)
        }
        _ => raised(py, &error.to_string(), &[]),
    }
}

fn raised(py: Python<'_>, words: &str, faults: &[Fault]) -> PyErr {
    let error = OffingError::new_err(words.to_owned());
    let listed = faults.iter().map(|fault| as_dict(py, fault));
    let set = |listed: Vec<Bound<'_, PyDict>>| error.value(py).setattr("faults", listed);
    match listed.collect::<PyResult<Vec<_>>>().and_then(set) {
        Ok(()) => error,
        Err(other) => other,
    }
}

fn as_dict<'py>(py: Python<'py>, fault: &Fault) -> PyResult<Bound<'py, PyDict>> {
    let dict = PyDict::new(py);
    dict.set_item("key", &fault.key)?;
    dict.set_item("problem", fault.problem.to_string())?;
    dict.set_item("hint", &fault.hint)?;
    let (file, line) = fault
        .place
        .as_ref()
        .map(|(file, line)| (file, line))
        .unzip();
    dict.set_item("file", file)?;
    dict.set_item("line", line)?;
    Ok(dict)
}
