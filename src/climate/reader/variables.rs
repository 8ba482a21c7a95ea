//! Which variable of a file holds which quantity: by the user's word, by standard name, by a usual name.

use netcdf::{File, Variable};

use super::attributes;
use crate::climate::error::ClimateFault;
use crate::climate::gridded::{NamedVariable, NamesVariables, Quantity, choose, missing};

/// The variable that holds `quantity`: the one the user named, else by standard name, else by a
/// usual name. `None` where there is none.
pub(super) fn find<'f>(
    file: &'f File,
    quantity: Quantity,
    options: &impl NamesVariables,
) -> Result<Option<Variable<'f>>, ClimateFault> {
    let mut variables: Vec<Option<Variable<'f>>> = Vec::new();
    let mut named = Vec::new();
    for variable in file.variables() {
        named.push(NamedVariable {
            name: variable.name(),
            standard_name: attributes::text(&variable, "standard_name")?,
            dimensions: variable.dimensions().len(),
        });
        variables.push(Some(variable));
    }
    let found = choose(&named, quantity, options)?;
    Ok(found.and_then(|index| variables[index].take()))
}

/// Like [`find`], for a quantity that must be there.
pub(super) fn require<'f>(
    file: &'f File,
    quantity: Quantity,
    options: &impl NamesVariables,
) -> Result<Variable<'f>, ClimateFault> {
    find(file, quantity, options)?.ok_or_else(|| {
        let present: Vec<String> = file.variables().map(|variable| variable.name()).collect();
        missing(quantity, &present)
    })
}

/// The variable called `name`, exactly.
pub(super) fn by_name<'f>(file: &'f File, name: &str) -> Option<Variable<'f>> {
    // Not the library's own look-up: it takes a slash for a path into groups.
    file.variables().find(|variable| variable.name() == name)
}
