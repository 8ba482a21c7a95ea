//! The table behind the picture, on request:
//! `cargo test --test proving_ground -- --ignored`, then `scripts/reference/proving_plot.py`.

use std::path::Path;

use crate::fleet::{MEMBERS, climate, hold, members, passages};

#[test]
#[ignore = "writes a table; nothing is held"]
fn write_the_table() {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join("proving-ground.csv");
    let mut table = csv::Writer::from_path(&path).unwrap();
    let heading = "currents,passage,nation,year,from,to,fleet,days,p10,p50,p90,rank";
    table.write_record(heading.split(',')).unwrap();
    for with_currents in [true, false] {
        let made = passages(|_| true);
        for held in hold(&made, &climate(with_currents), members(MEMBERS), None) {
            let (made, days) = (&held.made, &held.ensemble.days);
            let predicted = [days.p10, days.p50, days.p90].map(|days| days.unwrap());
            let [p10, p50, p90] = predicted.map(|days| format!("{days:.2}"));
            let row = [
                &with_currents.to_string(),
                &made.passage.to_string(),
                &made.nation,
                &made.departure.year().to_string(),
                &made.from,
                &made.to,
                &made.is_of_the_fleet().to_string(),
                &made.days.to_string(),
                &p10,
                &p50,
                &p90,
                &format!("{:.4}", held.rank()),
            ];
            table.write_record(row).unwrap();
        }
    }
    table.flush().unwrap();
    println!("{}", path.display());
}
