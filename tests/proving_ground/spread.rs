//! Days made against days predicted.

use std::collections::BTreeMap;

use offing::passage::EnsembleOptions;

use crate::fleet::{Held, MEMBERS, climate, hold, passages};

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    let n = values.len();
    (values[(n - 1) / 2] + values[n / 2]) / 2.0
}

fn summary(name: &str, held: &[&Held]) {
    let ranks: Vec<f64> = held.iter().map(|held| held.rank()).collect();
    let share = |low: f64, high: f64| ranks.iter().filter(|&&rank| rank >= low && rank < high).count() as f64 / ranks.len() as f64;
    println!("{name:26} n {:4} inside {:.3} fifths {:?} median ratio {:.3}", held.len(), share(0.1, 0.9),
        [0.0, 0.2, 0.4, 0.6, 0.8].map(|low| format!("{:.2}", share(low, if low == 0.8 { 1.1 } else { low + 0.2 }))),
        median(held.iter().map(|held| held.over_median()).collect()));
}

#[test]
fn look() {
    for with_currents in [true, false] {
        let started = std::time::Instant::now();
        let made = passages(|made| made.is_of_the_fleet());
        let options = EnsembleOptions { members: MEMBERS, ..EnsembleOptions::default() };
        let climate = climate(with_currents);
        println!("climate {:?}", started.elapsed());
        let held = hold(&made, &climate, options, None);
        println!("currents {with_currents} {:?}", started.elapsed());
        let mut by_route: BTreeMap<String, Vec<&Held>> = BTreeMap::new();
        for held in &held { by_route.entry(held.made.route()).or_default().push(held); }
        for (route, held) in &by_route { summary(route, held); }
        summary("all", &held.iter().collect::<Vec<_>>());
    }
}
