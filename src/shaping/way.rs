//! How the boat makes her way through one stretch of water: hours, engine hours and cost.

use super::hardship::{Hardship, Prices};
use super::pace::{FUELLED, Pace, PaceTable, UNDER_SAIL};
use super::search::Label;
use super::waters::Met;
use crate::boat::Boat;
use crate::climate::turned_along;
use crate::passage::STALL_BELOW_KN;

/// The boat on her way: what a wind and a current are worth to her, and the fuel she carries.
pub(super) struct WayMaker {
    pub table: PaceTable,
    /// Hours for which there is fuel; 0 without an engine.
    fuel_hours: f64,
}

/// Sine (toward the east) and cosine (toward the north) of a course.
pub(super) type CourseParts = (f32, f32);

impl WayMaker {
    pub(super) fn new(boat: &Boat, table: PaceTable) -> Self {
        Self {
            table,
            fuel_hours: boat.engine().map_or(0.0, |engine| {
                engine.fuel_litres() / engine.litres_per_hour()
            }),
        }
    }

    /// The same boat where there is no current.
    pub(super) fn in_still_water(&self) -> Self {
        Self {
            table: self.table.in_still_water(),
            ..*self
        }
    }

    /// The figures on a course of the wind and current met, over the ground.
    #[inline]
    pub(super) fn pace(&self, met: Met, (east, north): CourseParts) -> Pace {
        let [u_kn, v_kn, s_kn, _, set_east_kn, set_north_kn] = met;
        let [ahead_kn, port_kn] = turned_along([u_kn, v_kn], [east, north]);
        let along_kn = set_east_kn * east + set_north_kn * north;
        let across_kn = set_north_kn * east - set_east_kn * north;
        self.table
            .at([ahead_kn, port_kn], s_kn, [along_kn, across_kn])
    }

    /// The label after a stretch in one wind: first with fuel and then, where it runs out, without.
    /// None where there is no wind known, or the boat stalls because wind and current leave her no progress.
    pub(super) fn sail(
        &self,
        pace: &Pace,
        length_nm: f64,
        prices: &Prices,
        label: Label,
    ) -> Option<Label> {
        let share = |hardship: Hardship| f64::from(pace[hardship.figure()]);
        let speed_kn = |figure: usize| {
            let speed_kn = f64::from(pace[figure]);
            (speed_kn >= STALL_BELOW_KN).then_some(speed_kn)
        };
        let (mut hours, mut engine_hours, mut rest_nm) = (0.0, 0.0, length_nm);
        let fuel_left_hours = self.fuel_hours - label.engine_hours;
        if fuel_left_hours > 0.0 {
            let speed_kn = speed_kn(FUELLED)?;
            let power = share(Hardship::Engine);
            hours = rest_nm / speed_kn;
            if hours * power > fuel_left_hours {
                hours = fuel_left_hours / power;
            }
            engine_hours = hours * power;
            rest_nm -= hours * speed_kn;
        }
        // Less than this is what rounding leaves of a stretch.
        if rest_nm > 1e-9 * length_nm {
            hours += rest_nm / speed_kn(UNDER_SAIL)?;
        }
        let mut cost_hours = hours + prices.of(Hardship::Engine) * engine_hours;
        for hardship in Hardship::ALL {
            if hardship != Hardship::Engine {
                cost_hours += prices.of(hardship) * share(hardship) * hours;
            }
        }
        Some(Label {
            cost_hours: label.cost_hours + cost_hours,
            hours: label.hours + hours,
            engine_hours: label.engine_hours + engine_hours,
        })
    }
}
