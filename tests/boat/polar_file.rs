//! Reading a polar: what is taken, and what each refusal says.

use offing::boat::{Polar, hull_speed_kn};

const HEADER: &str = "true_wind_speed_kn,true_wind_angle_deg,boat_speed_kn";
const DEMO: &str = include_str!("../../fixtures/demo/cutter-12m.csv");
const DEMO_WATERLINE_M: f64 = 10.2; // stated in the file's comment

/// Two winds by three angles; line 1 is the header.
fn rows() -> Vec<String> {
    let rows = "10,45,5\n10,90,6\n10,180,4\n20,45,6\n20,90,7\n20,180,6";
    rows.lines().map(str::to_owned).collect()
}

fn message(rows: &[String]) -> String {
    let text = format!("{HEADER}\n{}\n", rows.join("\n"));
    Polar::parse(&text, "mine.csv").unwrap_err().to_string()
}

fn message_with_row(index: usize, row: &str) -> String {
    let mut rows = rows();
    rows[index] = row.to_owned();
    message(&rows)
}

#[test]
fn row_order_comments_blanks_bom_crlf_and_spaces_are_tolerated() {
    let plain = Polar::parse(&format!("{HEADER}\n{}", rows().join("\n")), "a").unwrap();
    let mut shuffled = rows();
    shuffled.reverse();
    let text = format!(
        "\u{feff}# a comment\r\n\r\n {HEADER} \r\n{} \r\n  # another, with commas\r\n",
        shuffled.join(" \r\n").replace(',', " , ")
    );
    assert_eq!(Polar::parse(&text, "b").unwrap(), plain);
    assert_eq!(plain.speed_kn(10.0, 90.0), 6.0);
}

#[test]
fn demo_polar_is_plausible() {
    let demo = Polar::parse(DEMO, "demo").unwrap();
    let hull_speed_kn = hull_speed_kn(DEMO_WATERLINE_M);
    for wind_kn in (0..=40).map(f64::from) {
        let mut before_kn = 0.0;
        for angle_deg in (0..=180).map(f64::from) {
            let speed_kn = demo.speed_kn(wind_kn, angle_deg);
            assert!(speed_kn < hull_speed_kn, "{wind_kn} kn, {angle_deg} deg");
            if angle_deg > 30.0 {
                let step_kn: f64 = speed_kn - before_kn;
                assert!(
                    step_kn.abs() < 0.3,
                    "{wind_kn} kn, {angle_deg} deg: {step_kn} kn"
                );
            }
            before_kn = speed_kn;
        }
    }
    for (below_kn, above_kn) in (4..20).map(|kn| (f64::from(kn), f64::from(kn + 1))) {
        for angle_deg in [45.0, 90.0, 135.0, 180.0] {
            assert!(demo.speed_kn(above_kn, angle_deg) > demo.speed_kn(below_kn, angle_deg));
        }
    }
    let beat = demo.best_upwind(15.0).unwrap();
    assert!((40.0..60.0).contains(&beat.true_wind_angle_deg), "{beat:?}");
    let run = demo.best_downwind(15.0).unwrap();
    assert!(
        (140.0..=180.0).contains(&run.true_wind_angle_deg),
        "{run:?}"
    );
    assert!(beat.made_good_kn < run.made_good_kn);
}

#[test]
fn file_that_is_not_there_is_named() {
    let error = Polar::read(std::path::Path::new("no/such/polar.csv")).unwrap_err();
    assert!(
        error
            .to_string()
            .starts_with("cannot read no/such/polar.csv: "),
        "{error}"
    );
}

#[test]
fn empty_files_say_what_is_expected() {
    let message = |text: &str| Polar::parse(text, "mine.csv").unwrap_err().to_string();
    assert_eq!(
        message("# only a comment\n"),
        format!("mine.csv has no header; expected the header `{HEADER}` and the rows below it")
    );
    assert_eq!(
        message(HEADER),
        format!("mine.csv has no rows; expected the header `{HEADER}` and the rows below it")
    );
}

#[test]
fn other_header_is_shown_beside_the_expected_one() {
    let error = Polar::parse("# mine\ntws,twa,speed\n10,45,5\n", "mine.csv").unwrap_err();
    assert_eq!(
        error.to_string(),
        format!("mine.csv, line 2: the header is `tws,twa,speed`; expected `{HEADER}`")
    );
}

#[test]
fn bad_cells_are_named_by_line_and_column() {
    let cases = [
        (
            "10,90,fast",
            "boat_speed_kn: found `fast`; allowed: a number from 0 to 40 kn",
        ),
        (
            "10,90,NaN",
            "boat_speed_kn: found `NaN`; allowed: a number from 0 to 40 kn",
        ),
        (
            "10,90,inf",
            "boat_speed_kn: found `inf`; allowed: a number from 0 to 40 kn",
        ),
        (
            "10,90,1e999",
            "boat_speed_kn: found `1e999`; allowed: a number from 0 to 40 kn",
        ),
        (
            "10,90,-6",
            "boat_speed_kn: found `-6`; allowed: a number from 0 to 40 kn",
        ),
        (
            "10,90,",
            "boat_speed_kn: found ``; allowed: a number from 0 to 40 kn",
        ),
        (
            "10,190,6",
            "true_wind_angle_deg: found `190`; allowed: a number from 0 to 180 deg",
        ),
        (
            "-1,90,6",
            "true_wind_speed_kn: found `-1`; allowed: a number from 0 to 100 kn",
        ),
        (
            "101,90,6",
            "true_wind_speed_kn: found `101`; allowed: a number from 0 to 100 kn",
        ),
    ];
    for (row, expected) in cases {
        assert_eq!(
            message_with_row(1, row),
            format!("mine.csv, line 3, {expected}")
        );
    }
}

#[test]
fn a_boat_that_never_moves_or_moves_without_wind_is_refused() {
    let still: Vec<String> = rows()
        .iter()
        .map(|row| row[..=row.rfind(',').unwrap()].to_owned() + "0")
        .collect();
    assert_eq!(
        message(&still),
        "mine.csv: no speed above 0; a polar needs one, or she never arrives"
    );
    let mut becalmed = rows();
    becalmed.extend(["0,45,0", "0,90,0.0", "-0,180,0"].map(str::to_owned));
    let text = format!("{HEADER}\n{}\n", becalmed.join("\n"));
    assert!(Polar::parse(&text, "mine.csv").is_ok());
    becalmed[7] = "0,90,2.5".to_owned();
    assert_eq!(
        message(&becalmed),
        "mine.csv, line 9, boat_speed_kn: found `2.5`; allowed: 0 in a wind of 0 kn, where no boat sails"
    );
}

#[test]
fn line_numbers_count_comments_and_blanks() {
    let text = format!("# one\n\n{HEADER}\n# four\n10,45,5\n\n10,90,x\n");
    let error = Polar::parse(&text, "mine.csv").unwrap_err().to_string();
    assert!(
        error.starts_with("mine.csv, line 7, boat_speed_kn"),
        "{error}"
    );
}

#[test]
fn decimal_commas_show_as_too_many_cells() {
    assert_eq!(
        message_with_row(1, "10,90,6,5"),
        "mine.csv, line 3: 4 cells; the header has 3 (decimals take a point, not a comma)"
    );
}

#[test]
fn point_given_twice_is_named_by_both_lines() {
    let mut rows = rows();
    rows.push("10.0,90.0,6.5".to_owned());
    assert_eq!(
        message(&rows),
        "mine.csv: the point at 10 kn and 90 deg is given twice, on lines 3 and 8"
    );
}

#[test]
fn gaps_are_named_by_wind_speed_and_angle() {
    let mut one_gap = rows();
    one_gap.remove(4);
    assert_eq!(
        message(&one_gap),
        "mine.csv: every wind speed needs every angle; missing: 20 kn at 90 deg"
    );
    let scattered: Vec<String> = (0..6)
        .map(|i| format!("{},{},5", 5 + i, 30 + 30 * i))
        .collect();
    let error = message(&scattered);
    assert!(
        error.contains("missing: 5 kn at 60 deg, 5 kn at 90 deg"),
        "{error}"
    );
    assert!(error.ends_with(" and 22 more"), "{error}");
}

#[test]
fn table_too_small_is_refused() {
    assert_eq!(
        message(&rows()[..3]),
        "mine.csv: 1 true wind speeds above 0; a polar needs at least 2"
    );
    let two_angles = ["10,45,5", "10,180,4", "20,45,6", "20,180,6"].map(str::to_owned);
    assert_eq!(
        message(&two_angles),
        "mine.csv: 2 true wind angles; a polar needs at least 3"
    );
}

#[test]
fn angles_must_reach_from_close_hauled_to_downwind() {
    let short = rows().join("\n").replace(",180,", ",170,");
    assert_eq!(
        message(&[short]),
        "mine.csv: the largest true wind angle is 170 deg; the table must end at 180 deg, so that nothing downwind is guessed"
    );
    let broad = rows().join("\n").replace(",45,", ",60,");
    assert_eq!(
        message(&[broad]),
        "mine.csv: the smallest true wind angle is 60 deg; allowed: 0 to 52 deg, so that nothing to windward is guessed (give 0 kn where she does not sail)"
    );
}
