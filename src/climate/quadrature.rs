//! Numerical integration of smooth functions: Gauss-Legendre, 12 points to a panel.

/// Points on (0, 1) and their weights; the rule mirrors them about 0. Computed with
/// `numpy.polynomial.legendre.leggauss(12)`.
const HALF_RULE: [(f64, f64); 6] = [
    (0.1252334085114689, 0.2491470458134027),
    (0.3678314989981802, 0.2334925365383546),
    (0.5873179542866175, 0.20316742672306573),
    (0.7699026741943047, 0.16007832854334642),
    (0.9041172563704748, 0.10693932599531907),
    (0.9815606342467192, 0.04717533638651141),
];

/// The integral of `f` from `from` to `to`, in equal panels at most `panel` wide; 0 where `to` is
/// not beyond `from`.
pub(super) fn integrate<const N: usize>(
    from: f64,
    to: f64,
    panel: f64,
    f: impl Fn(f64) -> [f64; N],
) -> [f64; N] {
    let mut sum = [0.0; N];
    if to <= from {
        return sum;
    }
    let panels = ((to - from) / panel).ceil().max(1.0);
    let half = 0.5 * (to - from) / panels;
    for index in 0..panels as usize {
        let middle = from + (2.0 * index as f64 + 1.0) * half;
        for (point, weight) in HALF_RULE {
            let (left, right) = (f(middle - half * point), f(middle + half * point));
            for ((sum, left), right) in sum.iter_mut().zip(left).zip(right) {
                *sum += weight * (left + right);
            }
        }
    }
    sum.map(|sum| sum * half)
}

#[cfg(test)]
mod tests {
    use super::*;

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
}
