//! What goods and harbours cost, and where to buy what. Prices are numbers in whatever money the crew
//! thinks in: none is assumed, none converted.

use schemars::JsonSchema;
use serde::Serialize;

use super::error::{StoresError, check};
use crate::units::Range;

/// A price, in the money of all prices.
pub const PRICE: Range = Range::new("price", "", 0.0, 1e9);

/// What things cost at one place; `None` where it is not known.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Prices {
    /// Of a litre of diesel.
    pub diesel_per_litre: Option<f64>,
    /// Of a litre of water.
    pub water_per_litre: Option<f64>,
    /// Of one person's food for a day.
    pub food_per_person_day: Option<f64>,
    /// Of a day in harbour.
    pub harbour_per_day: Option<f64>,
}

/// What things cost, everywhere and at single places.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PriceSettings {
    /// Where nothing else is said.
    pub usual: Prices,
    /// At places by name; what is `None` there is as usual.
    pub at: Vec<(String, Prices)>,
}

impl PriceSettings {
    /// Checks every price.
    ///
    /// # Errors
    /// One that is negative or no number.
    pub fn validate(&self) -> Result<(), StoresError> {
        let named = self
            .at
            .iter()
            .map(|(place, prices)| (place.as_str(), prices));
        for (place, prices) in std::iter::once(("prices", &self.usual)).chain(named) {
            for priced in Priced::ALL {
                check(place, &PRICE, priced.price(prices))?;
            }
        }
        Ok(())
    }

    /// What something costs at a place.
    fn at(&self, place: &str, priced: Priced) -> Option<f64> {
        let named = self.at.iter().find(|(name, _)| name == place);
        named
            .and_then(|(_, prices)| priced.price(prices))
            .or(priced.price(&self.usual))
    }
}

/// What has a price.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Priced {
    /// Diesel, by the litre.
    Diesel,
    /// Water, by the litre.
    Water,
    /// Food, by one person's day.
    Food,
    /// A berth, by the day.
    Harbour,
}

impl Priced {
    /// All there are.
    pub const ALL: [Self; 4] = [Self::Diesel, Self::Water, Self::Food, Self::Harbour];

    fn price(self, prices: &Prices) -> Option<f64> {
        match self {
            Self::Diesel => prices.diesel_per_litre,
            Self::Water => prices.water_per_litre,
            Self::Food => prices.food_per_person_day,
            Self::Harbour => prices.harbour_per_day,
        }
    }
}

/// What a route costs, in the money of the prices.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct Costs {
    /// All that is bought, in the order of the places.
    pub purchases: Vec<Purchase>,
    /// What all that has a price costs together.
    pub total: f64,
}

/// Something bought at one place.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct Purchase {
    /// The place.
    pub place: String,
    /// What.
    pub what: Priced,
    /// How much: litres of diesel or water, days of one person's food, days in harbour.
    pub quantity: f64,
    /// What one of them costs there; none where no price is given.
    pub price: Option<f64>,
    /// What they cost; none where no price is given, and not in the total.
    pub cost: Option<f64>,
}

/// What is asked of one kind of goods at the places where it is had.
pub(super) struct Asked {
    pub what: Priced,
    /// Each place with what is needed from there to the next.
    pub needs: Vec<(String, f64)>,
    /// What there is room for on board; none where goods are not bought ahead.
    pub holds: Option<f64>,
}

impl Costs {
    /// Of all that is asked for and of what is bought on the spot, in the order of `places`.
    pub(super) fn of(prices: &PriceSettings, places: &[&str], asked: &[Asked]) -> Self {
        let mut purchases: Vec<Purchase> = Vec::new();
        for (index, place) in places.iter().enumerate() {
            for asked in asked {
                let bought = asked.bought(prices);
                let here = asked.needs.iter().zip(bought);
                let here = here.filter(|((name, _), _)| name == place);
                let quantity: f64 = here.map(|(_, quantity)| quantity).sum();
                // A place that is called at twice is told once.
                if quantity <= 0.0 || places[..index].contains(place) {
                    continue;
                }
                let same = |had: &&mut Purchase| had.place == *place && had.what == asked.what;
                let price = prices.at(place, asked.what);
                match purchases.iter_mut().find(same) {
                    Some(purchase) => purchase.quantity += quantity,
                    None => purchases.push(Purchase {
                        place: (*place).to_owned(),
                        what: asked.what,
                        quantity,
                        price,
                        cost: None,
                    }),
                }
            }
        }
        for purchase in &mut purchases {
            purchase.cost = purchase.price.map(|price| price * purchase.quantity);
        }
        let total = purchases.iter().filter_map(|purchase| purchase.cost).sum();
        Self { purchases, total }
    }
}

impl Asked {
    /// How much to buy at each place: what is needed from there, less what was brought from a cheaper
    /// place before as far as there was room, and more for dearer places after. All that is loaded for
    /// a stage is reckoned to be used on it.
    fn bought(&self, prices: &PriceSettings) -> Vec<f64> {
        let price = |place: usize| prices.at(&self.needs[place].0, self.what);
        let mut aboard: Vec<f64> = self.needs.iter().map(|(_, need)| *need).collect();
        let mut bought = vec![0.0; self.needs.len()];
        for (index, (_, need)) in self.needs.iter().enumerate() {
            let mut wanted = *need;
            let mut cheaper: Vec<(usize, f64)> = (0..index)
                .filter_map(|place| Some((place, price(place)?)))
                .filter(|(_, there)| price(index).is_some_and(|here| *there < here))
                .collect();
            // Of two alike the later one, so that nothing is carried for longer than it must be.
            cheaper.sort_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)));
            for (place, _) in cheaper {
                let Some(holds) = self.holds else { break };
                let room = aboard[place..index].iter().map(|aboard| holds - aboard);
                let part = room.fold(wanted, f64::min).max(0.0);
                for aboard in &mut aboard[place..index] {
                    *aboard += part;
                }
                bought[place] += part;
                wanted -= part;
            }
            bought[index] += wanted;
        }
        bought
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn prices(of_diesel: [Option<f64>; 3]) -> PriceSettings {
        let at = ["A", "B", "C"].into_iter().zip(of_diesel);
        PriceSettings {
            usual: Prices::default(),
            at: at
                .map(|(place, diesel_per_litre)| {
                    let prices = Prices {
                        diesel_per_litre,
                        ..Prices::default()
                    };
                    (place.to_owned(), prices)
                })
                .collect(),
        }
    }

    fn asked(needs: [f64; 3], holds: f64) -> Asked {
        let needs = ["A", "B", "C"].map(str::to_owned).into_iter().zip(needs);
        Asked {
            what: Priced::Diesel,
            needs: needs.collect(),
            holds: Some(holds),
        }
    }

    /// By hand: 100, 60 and 80 L are needed from A, B and C, tanks hold 150 L.
    #[test]
    fn diesel_is_brought_from_cheaper_places_as_far_as_there_is_room() {
        let needs = asked([100.0, 60.0, 80.0], 150.0);
        let bought = |prices| needs.bought(&prices);
        // Dearer all the way: 50 L of B's 60 fit beside A's own 100; C's 80 come from B beside the 60.
        let rising = prices([Some(1.0), Some(2.0), Some(3.0)]);
        assert_eq!(bought(rising.clone()), [150.0, 90.0, 0.0]);
        let costs = Costs::of(
            &rising,
            &["A", "B", "C"],
            &[asked([100.0, 60.0, 80.0], 150.0)],
        );
        assert_eq!(costs.total, 150.0 * 1.0 + 90.0 * 2.0);
        // Cheaper all the way: each its own.
        let falling = prices([Some(3.0), Some(2.0), Some(1.0)]);
        assert_eq!(bought(falling), [100.0, 60.0, 80.0]);
        // B the dearest: it takes 50 L from A; C is cheaper than A.
        let hill = prices([Some(2.0), Some(3.0), Some(1.0)]);
        assert_eq!(bought(hill), [150.0, 10.0, 80.0]);
        // Of what has no price none is moved, and none is in the total.
        let unknown = prices([Some(2.0), None, None]);
        assert_eq!(bought(unknown.clone()), [100.0, 60.0, 80.0]);
        let costs = Costs::of(
            &unknown,
            &["A", "B", "C"],
            &[asked([100.0, 60.0, 80.0], 150.0)],
        );
        assert_eq!(costs.total, 200.0);
        assert_eq!(costs.purchases[1].cost, None);
    }

    #[test]
    fn a_place_without_a_price_of_its_own_has_the_usual_one() {
        let mut settings = prices([Some(1.5), None, None]);
        settings.usual.diesel_per_litre = Some(2.0);
        settings.usual.harbour_per_day = Some(30.0);
        assert_eq!(settings.at("A", Priced::Diesel), Some(1.5));
        assert_eq!(settings.at("B", Priced::Diesel), Some(2.0));
        assert_eq!(settings.at("A", Priced::Harbour), Some(30.0));
        settings.usual.harbour_per_day = Some(-1.0);
        assert!(settings.validate().is_err());
    }
}
