use proptest::prelude::*;

use super::*;

/// Accuracy claimed for every share.
const TOLERANCE: f64 = 1e-6;

fn wind(u_ms: f64, v_ms: f64, s_ms: f64) -> Wind {
    Wind { u_ms, v_ms, s_ms }
}

/// The share by brute force: the density summed over a fine grid of components.
fn summed_share(wind: &Wind, inside: impl Fn(f64, f64) -> bool) -> f64 {
    const STEPS: i32 = 900;
    const REACH_SPREADS: f64 = 6.0;
    let step = 2.0 * REACH_SPREADS / f64::from(STEPS);
    let mut sum = 0.0;
    for i in 0..STEPS {
        for j in 0..STEPS {
            let x = -REACH_SPREADS + (f64::from(i) + 0.5) * step;
            let y = -REACH_SPREADS + (f64::from(j) + 0.5) * step;
            if inside(wind.u_ms + wind.s_ms * x, wind.v_ms + wind.s_ms * y) {
                sum += (-0.5 * (x * x + y * y)).exp();
            }
        }
    }
    sum * step * step / TAU
}

#[test]
fn shares_agree_with_a_sum_over_components() {
    // Midpoint sums over a sharp edge err by about an interval's share of the density.
    const SUM_TOLERANCE: f64 = 2e-3;
    for (u, v, s) in [
        (6.0, -3.0, 3.0),
        (0.5, 0.2, 5.0),
        (-9.0, 2.0, 0.6),
        (0.0, 0.0, 2.0),
    ] {
        let wind = wind(u, v, s);
        for (course_deg, half_deg, speed_ms) in
            [(250.0, 60.0, 8.0), (90.0, 110.0, 3.0), (10.0, 175.0, 0.0)]
        {
            let course = Course::from_deg(course_deg);
            let got = wind.share_within_at_or_above(course, half_deg, speed_ms);
            let summed = summed_share(&wind, |u, v| {
                u.hypot(v) >= speed_ms
                    && crate::units::angle_off_deg(course, WindFrom::from_components(u, v))
                        < half_deg
            });
            assert!(
                (got - summed).abs() < SUM_TOLERANCE,
                "{wind:?} {course_deg}: {got}, summed {summed}"
            );
            let above = wind.share_at_or_above(speed_ms);
            let summed = summed_share(&wind, |u, v| u.hypot(v) >= speed_ms);
            assert!(
                (above - summed).abs() < SUM_TOLERANCE,
                "{wind:?}: {above}, summed {summed}"
            );
        }
    }
}

/// With no mean vector the speed is Rayleigh distributed: exp(-V^2 / 2 s^2).
#[test]
fn without_a_mean_vector_the_speed_is_rayleigh() {
    let wind = wind(0.0, 0.0, 4.0);
    for speed_ms in [0.1, 2.0, 6.0, 12.0, 20.0] {
        let expected = (-speed_ms * speed_ms / 32.0f64).exp();
        let got = wind.share_at_or_above(speed_ms);
        assert!(
            (got - expected).abs() < TOLERANCE * expected.max(1e-3),
            "{got}, expected {expected}"
        );
        let quarter = wind.share_within_at_or_above(Course::from_deg(77.0), 45.0, speed_ms);
        assert!((quarter - 0.25 * expected).abs() < TOLERANCE);
    }
}

#[test]
fn half_the_plane_is_the_normal_distribution() {
    // Wind from the eastern half: u below 0.
    let wind = wind(-2.0, 7.0, 3.0);
    let expected = 0.5 * libm::erfc(-2.0 / 3.0 / SQRT_2);
    let got = wind.share_within(Course::from_deg(90.0), 90.0);
    assert!(
        (got - expected).abs() < TOLERANCE,
        "{got}, expected {expected}"
    );
}

#[test]
fn a_wind_without_scatter_is_all_or_nothing() {
    let wind = wind(-8.0, 0.0, 0.0);
    assert_eq!(wind.share_at_or_above(7.9), 1.0);
    assert_eq!(wind.share_at_or_above(8.1), 0.0);
    assert_eq!(wind.share_within(Course::from_deg(100.0), 20.0), 1.0);
    assert_eq!(wind.share_within(Course::from_deg(200.0), 20.0), 0.0);
    assert_eq!(wind.rose()[2].share, 1.0);
    assert_eq!(wind.rose()[2].mean_speed_ms, Some(8.0));
    assert_eq!(wind.rose()[6].mean_speed_ms, None);
}

proptest! {
    #[test]
    fn shares_are_shares_and_complements_sum_to_one(
        u in -20.0..20.0f64, v in -20.0..20.0f64, s in 0.3..12.0f64,
        course_deg in 0.0..360.0f64, half_deg in 1.0..179.0f64, speed_ms in 0.0..30.0f64,
    ) {
        let wind = wind(u, v, s);
        let course = Course::from_deg(course_deg);
        let opposite = Course::from_deg(course_deg + 180.0);
        let within = wind.share_within_at_or_above(course, half_deg, speed_ms);
        let without = wind.share_within_at_or_above(opposite, 180.0 - half_deg, speed_ms);
        let above = wind.share_at_or_above(speed_ms);
        prop_assert!((0.0..=1.0).contains(&within) && (0.0..=1.0).contains(&above));
        prop_assert!((within + without - above).abs() < TOLERANCE, "{within} + {without}, {above}");
        prop_assert_eq!(wind.share_below(speed_ms) + above, 1.0);
    }

    #[test]
    fn shares_fall_with_the_least_speed_and_rise_with_the_angle(
        u in -15.0..15.0f64, v in -15.0..15.0f64, s in 0.3..8.0f64,
        course_deg in 0.0..360.0f64, half_deg in 1.0..170.0f64, speed_ms in 0.0..25.0f64,
        more in 0.0..5.0f64,
    ) {
        let wind = wind(u, v, s);
        let course = Course::from_deg(course_deg);
        let share = wind.share_within_at_or_above(course, half_deg, speed_ms);
        prop_assert!(wind.share_within_at_or_above(course, half_deg, speed_ms + more) <= share + TOLERANCE);
        prop_assert!(wind.share_within_at_or_above(course, half_deg + more, speed_ms) >= share - TOLERANCE);
        prop_assert!(wind.share_at_or_above(speed_ms + more) <= wind.share_at_or_above(speed_ms) + TOLERANCE);
    }

    #[test]
    fn turning_wind_and_course_together_changes_nothing(
        speed in 0.0..20.0f64, from_deg in 0.0..360.0f64, s in 0.3..8.0f64,
        course_deg in 0.0..360.0f64, turn_deg in 0.0..360.0f64, half_deg in 1.0..179.0f64,
    ) {
        let blowing_from = |deg: f64| {
            let (sin, cos) = deg.to_radians().sin_cos();
            wind(-speed * sin, -speed * cos, s)
        };
        let before = blowing_from(from_deg).share_within(Course::from_deg(course_deg), half_deg);
        let after = blowing_from(from_deg + turn_deg)
            .share_within(Course::from_deg(course_deg + turn_deg), half_deg);
        prop_assert!((before - after).abs() < TOLERANCE);
    }

    #[test]
    fn the_rose_sums_to_one_and_gives_the_mean_speed(
        u in -15.0..15.0f64, v in -15.0..15.0f64, s in 0.3..8.0f64,
    ) {
        let wind = wind(u, v, s);
        let rose = wind.rose();
        let share: f64 = rose.iter().map(|sector| sector.share).sum();
        let speed: f64 = rose.iter()
            .map(|sector| sector.share * sector.mean_speed_ms.unwrap_or(0.0)).sum();
        prop_assert!((share - 1.0).abs() < TOLERANCE, "{share}");
        prop_assert!((speed - wind.mean_speed_ms()).abs() < 1e-5, "{speed}");
    }
}

#[test]
fn polynomials_up_to_degree_23_are_exact() {
    let [got] = integrate(-1.0, 2.0, 10.0, |x| [x.powi(23)]);
    let expected = (2f64.powi(24) - 1.0) / 24.0;
    assert!((got - expected).abs() < 1e-12 * expected);
}

#[test]
fn an_empty_or_reversed_range_gives_nothing() {
    assert_eq!(integrate(1.0, 1.0, 1.0, |_| [1.0]), [0.0]);
    assert_eq!(integrate(2.0, 1.0, 1.0, |_| [1.0]), [0.0]);
}
