//! The curve of a trade-off: which courses and routes drawn stand on it, by days and share of one
//! hardship.

/// Two courses closer than both of these are one to a crew: days, and the share of the hardship.
const ALIKE_DAYS: f64 = 0.1;
const ALIKE_SHARE: f64 = 0.005;
/// A gentler course has less of the hardship by at least this part of what the fastest has, in days.
const LEAST_PART: f64 = 0.01;
/// How many courses a reader can take in.
const MOST: usize = 12;

/// Where a course stands: what it takes and what it costs the crew.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Standing {
    /// Days under way.
    pub days: f64,
    /// The hardship's share of that time, 0 to 1.
    pub share: f64,
}

/// A member of the curve, by its place among those it was chosen from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Member {
    /// A course shaped.
    Shaped(usize),
    /// A route drawn.
    Drawn(usize),
}

impl Standing {
    /// Days of the hardship.
    pub(super) fn hard_days(self) -> f64 {
        self.share * self.days
    }

    /// Whether a course that stands here is as good in both and better in one.
    pub fn beats(self, other: Self) -> bool {
        self.days <= other.days
            && self.share <= other.share
            && (self.days < other.days || self.share < other.share)
    }

    /// Whether a crew could hardly tell the two apart.
    pub(super) fn is_like(self, other: Self) -> bool {
        (self.days - other.days).abs() < ALIKE_DAYS
            && (self.share - other.share).abs() < ALIKE_SHARE
    }
}

/// How far apart two courses of a curve are: the greater part of its span of days or of shares.
pub(super) fn apart(span: [Standing; 2], a: Standing, b: Standing) -> f64 {
    let part = |of: fn(Standing) -> f64| {
        let whole = (of(span[1]) - of(span[0])).abs();
        if whole > 0.0 {
            (of(b) - of(a)).abs() / whole
        } else {
            0.0
        }
    };
    part(|standing| standing.days).max(part(|standing| standing.share))
}

/// The courses of which no other is as fast and as gentle, the fastest first and no two alike.
pub(super) fn front(courses: &[Standing]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..courses.len()).collect();
    order.sort_by(|a, b| {
        let (a, b) = (courses[*a], courses[*b]);
        a.days.total_cmp(&b.days).then(a.share.total_cmp(&b.share))
    });
    let least_days = order
        .first()
        .map_or(0.0, |first| LEAST_PART * courses[*first].hard_days());
    let mut kept: Vec<usize> = Vec::new();
    for index in order {
        let course = courses[index];
        let another = kept.last().is_none_or(|last| {
            let last = courses[*last];
            course.share < last.share
                && last.hard_days() - course.hard_days() > least_days
                && !course.is_like(last)
        });
        if another {
            kept.push(index);
        }
    }
    kept
}

/// No more than twelve courses of a front: those nearest to their neighbours go, never the ends.
pub(super) fn few(mut kept: Vec<usize>, courses: &[Standing]) -> Vec<usize> {
    while kept.len() > MOST {
        let span = [kept[0], kept[kept.len() - 1]].map(|end| courses[end]);
        let room = |at: usize| apart(span, courses[kept[at - 1]], courses[kept[at + 1]]);
        let inner = 1..kept.len() - 1;
        let Some(closest) = inner.min_by(|a, b| room(*a).total_cmp(&room(*b))) else {
            break;
        };
        kept.remove(closest);
    }
    kept
}

/// The curve, the fastest first: of the courses shaped those that nothing beats and no two alike,
/// and every route drawn that nothing on the curve beats. A course like a route drawn that stands on
/// the curve gives way to it, but for the fastest shaped.
pub fn curve(shaped: &[Standing], drawn: &[Standing]) -> Vec<Member> {
    let mut kept = few(front(shaped), shaped);
    let fastest = kept.first().copied();
    let unbeaten = |kept: &[usize]| -> Vec<usize> {
        let beaten = |route: Standing| {
            kept.iter().any(|index| shaped[*index].beats(route))
                || drawn.iter().any(|other| other.beats(route))
        };
        (0..drawn.len())
            .filter(|index| !beaten(drawn[*index]))
            .collect()
    };
    let standing = unbeaten(&kept);
    kept.retain(|index| {
        standing.iter().all(|route| {
            let (course, route) = (shaped[*index], drawn[*route]);
            !route.beats(course) && (Some(*index) == fastest || !route.is_like(course))
        })
    });
    // A course that gave way may have beaten a route by itself.
    let routes = unbeaten(&kept).into_iter().map(Member::Drawn);
    let mut members: Vec<Member> = kept.into_iter().map(Member::Shaped).chain(routes).collect();
    let standing = |member: &Member| match *member {
        Member::Shaped(index) => shaped[index],
        Member::Drawn(index) => drawn[index],
    };
    members.sort_by(|a, b| standing(a).days.total_cmp(&standing(b).days));
    members
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn at(days: f64, percent: f64) -> Standing {
        Standing {
            days,
            share: percent / 100.0,
        }
    }

    /// The case of a crew that drew 40 S by hand between two courses shaped.
    #[test]
    fn a_route_drawn_that_nothing_beats_is_on_the_curve() {
        let shaped = [at(42.9, 3.8), at(45.9, 2.3)];
        let members = curve(&shaped, &[at(43.8, 3.2), at(46.0, 3.0)]);
        use Member::{Drawn, Shaped};
        assert_eq!(members, [Shaped(0), Drawn(0), Shaped(1)]);
    }

    #[test]
    fn a_course_that_a_route_drawn_beats_goes() {
        let shaped = [at(40.0, 9.0), at(42.0, 6.0), at(45.0, 2.0)];
        let members = curve(&shaped, &[at(41.9, 5.0)]);
        use Member::{Drawn, Shaped};
        assert_eq!(members, [Shaped(0), Drawn(0), Shaped(2)]);
    }

    #[test]
    fn of_courses_that_a_crew_could_not_tell_apart_one_is_shown() {
        let shaped = [
            at(33.90, 9.0),
            at(33.95, 8.7),
            at(33.99, 8.6),
            at(37.0, 3.5),
        ];
        use Member::{Drawn, Shaped};
        assert_eq!(curve(&shaped, &[]), [Shaped(0), Shaped(3)]);
        // The route drawn stays, the course like it goes.
        let members = curve(&shaped, &[at(36.95, 3.8)]);
        assert_eq!(members, [Shaped(0), Drawn(0)]);
    }

    #[test]
    fn less_of_a_hardship_only_by_being_longer_at_sea_is_not_gentler() {
        let shaped = [at(40.0, 10.0), at(50.0, 8.0), at(60.0, 5.0)];
        use Member::Shaped;
        assert_eq!(curve(&shaped, &[]), [Shaped(0), Shaped(2)]);
    }

    proptest! {
        #[test]
        fn nothing_drawn_beats_the_curve_and_what_is_off_it_is_beaten_or_alike(
            shaped in prop::collection::vec((40.0..45.0f64, 0.0..10.0f64), 1..40),
            drawn in prop::collection::vec((40.0..45.0f64, 0.0..10.0f64), 0..6),
        ) {
            let points = |of: Vec<(f64, f64)>| -> Vec<Standing> {
                of.into_iter().map(|(days, percent)| at(days, percent)).collect()
            };
            let (shaped, drawn) = (points(shaped), points(drawn));
            let members = curve(&shaped, &drawn);
            prop_assert!(!members.is_empty());
            let on: Vec<Standing> = members
                .iter()
                .map(|member| match *member {
                    Member::Shaped(index) => shaped[index],
                    Member::Drawn(index) => drawn[index],
                })
                .collect();
            for pair in on.windows(2) {
                prop_assert!(pair[0].days <= pair[1].days);
                prop_assert!(pair[1].share < pair[0].share);
            }
            for (index, route) in drawn.iter().enumerate() {
                prop_assert!(!on.iter().any(|member| route.beats(*member)));
                let is_on = members.contains(&Member::Drawn(index));
                prop_assert_eq!(is_on, !on.iter().any(|member| member.beats(*route)));
            }
            let courses = members.iter().filter(|member| matches!(member, Member::Shaped(_)));
            prop_assert!(courses.count() <= MOST);
        }
    }
}
