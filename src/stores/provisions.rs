//! Plain kinds of food, how much energy they hold and how long they keep aboard.
//!
//! Energy densities are rounded from general food composition tables, from memory. How long things
//! keep, the room they take and their shares are common practice, no source: warm, damp or bruised
//! food keeps a shorter time.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::units::Range;

use super::basis::Basis;
use super::error::{StoresError, check};

/// Energy in a kilogram of food as bought.
pub const ENERGY_DENSITY: Range = Range::new("food's energy", "kcal/kg", 50.0, 9000.0);
/// Room taken by a kilogram of food as stowed.
pub const BULK: Range = Range::new("food's room", "L/kg", 0.1, 50.0);
/// Days a kind of food keeps aboard.
pub const KEEPING_DAYS: Range = Range::new("days food keeps", "days", 1.0, 3650.0);
/// A kind's share.
pub const KIND_SHARE: Range = Range::new("share of food", "", 0.0, 1.0);

/// The origin of the energy densities.
pub const DENSITY_BASIS: Basis = Basis::from_memory("general food composition tables, rounded");

/// How a kind of food is kept and used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Keeping {
    /// Fresh, in the open: eaten while it keeps.
    Fresh,
    /// In the refrigerator: eaten while it keeps; left out without one.
    Chilled,
    /// Dry or tinned: all that fresh and chilled food does not cover.
    Dry,
    /// Eaten as it is, when nobody can cook.
    NoCook,
}

/// A kind of food.
#[derive(Debug, Clone, PartialEq)]
pub struct FoodKind {
    /// What to ask for in a shop.
    pub name: String,
    /// How it is kept.
    pub keeping: Keeping,
    /// Fresh and chilled: the share of a day's energy while it keeps. Dry and no-cook: its part of
    /// all food of that keeping, whatever the parts add up to.
    pub share: f64,
    /// Energy, kcal/kg as bought.
    pub kcal_per_kg: f64,
    /// Room when stowed, L/kg.
    pub litres_per_kg: f64,
    /// Days it keeps aboard.
    pub keeps_days: f64,
    /// Where its energy comes from.
    pub basis: Basis,
}

impl FoodKind {
    pub(super) fn validate(&self) -> Result<(), StoresError> {
        let of = &self.name;
        check(of, &KIND_SHARE, self.share)?;
        check(of, &ENERGY_DENSITY, self.kcal_per_kg)?;
        check(of, &BULK, self.litres_per_kg)?;
        check(of, &KEEPING_DAYS, self.keeps_days)
    }
}

/// The default kinds: name, keeping, share, kcal/kg, L/kg, days it keeps.
type Row = (&'static str, Keeping, f64, f64, f64, f64);

const KINDS: [Row; 33] = {
    use Keeping::{Chilled, Dry, Fresh, NoCook};
    [
        ("leaf salad and herbs", Fresh, 0.004, 170.0, 8.0, 4.0),
        ("bread", Fresh, 0.120, 2500.0, 4.0, 5.0),
        ("soft fruit and bananas", Fresh, 0.030, 700.0, 2.0, 7.0),
        ("tomatoes and peppers", Fresh, 0.010, 220.0, 2.0, 10.0),
        ("carrots and roots", Fresh, 0.015, 400.0, 1.8, 21.0),
        ("cabbage", Fresh, 0.008, 250.0, 2.5, 30.0),
        ("apples and citrus fruit", Fresh, 0.030, 450.0, 2.0, 30.0),
        (
            "eggs, never chilled, turned",
            Fresh,
            0.040,
            1350.0,
            2.5,
            30.0,
        ),
        ("potatoes", Fresh, 0.060, 750.0, 1.6, 45.0),
        ("onions and garlic", Fresh, 0.012, 400.0, 1.8, 60.0),
        ("fresh meat and fish", Chilled, 0.080, 1800.0, 1.2, 5.0),
        ("yoghurt and milk", Chilled, 0.030, 650.0, 1.1, 14.0),
        ("butter", Chilled, 0.040, 7200.0, 1.1, 30.0),
        ("hard cheese", Chilled, 0.050, 4000.0, 1.1, 45.0),
        ("tinned fruit", Dry, 0.020, 650.0, 1.2, 700.0),
        ("tinned vegetables", Dry, 0.025, 400.0, 1.2, 900.0),
        ("tinned beans", Dry, 0.040, 850.0, 1.2, 900.0),
        ("tinned fish and meat", Dry, 0.100, 1900.0, 1.1, 900.0),
        ("rice", Dry, 0.160, 3600.0, 1.2, 700.0),
        ("pasta and noodles", Dry, 0.140, 3550.0, 2.2, 700.0),
        ("flour and yeast", Dry, 0.120, 3450.0, 1.7, 270.0),
        ("oats and cereal", Dry, 0.080, 3700.0, 2.6, 270.0),
        ("lentils and dried beans", Dry, 0.070, 3450.0, 1.3, 540.0),
        ("cooking oil", Dry, 0.120, 8840.0, 1.15, 360.0),
        ("milk powder", Dry, 0.050, 4900.0, 2.0, 270.0),
        ("sugar, honey and jam", Dry, 0.045, 3600.0, 1.0, 900.0),
        ("chocolate", Dry, 0.030, 5300.0, 1.6, 270.0),
        ("biscuits and crackers", NoCook, 0.250, 4400.0, 3.5, 180.0),
        ("nuts", NoCook, 0.250, 6000.0, 1.8, 180.0),
        ("dried fruit", NoCook, 0.150, 2800.0, 1.5, 270.0),
        ("energy bars", NoCook, 0.150, 4200.0, 2.0, 270.0),
        ("tinned meals eaten cold", NoCook, 0.150, 1100.0, 1.2, 900.0),
        ("long-life drinks", NoCook, 0.050, 550.0, 1.1, 180.0),
    ]
};

/// The default kinds of food.
pub fn default_kinds() -> Vec<FoodKind> {
    KINDS
        .iter()
        .map(
            |&(name, keeping, share, kcal_per_kg, litres_per_kg, keeps_days)| FoodKind {
                name: name.to_owned(),
                keeping,
                share,
                kcal_per_kg,
                litres_per_kg,
                keeps_days,
                basis: DENSITY_BASIS,
            },
        )
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_default_kind_is_allowed_and_parts_add_up() {
        let kinds = default_kinds();
        for kind in &kinds {
            kind.validate().unwrap();
        }
        let sum = |keeping: Keeping| {
            kinds
                .iter()
                .filter(|kind| kind.keeping == keeping)
                .map(|kind| kind.share)
                .sum::<f64>()
        };
        assert!(
            (sum(Keeping::Dry) - 1.0).abs() < 1e-9,
            "{}",
            sum(Keeping::Dry)
        );
        assert!((sum(Keeping::NoCook) - 1.0).abs() < 1e-9);
        assert!(sum(Keeping::Fresh) + sum(Keeping::Chilled) < 0.6);
    }
}
