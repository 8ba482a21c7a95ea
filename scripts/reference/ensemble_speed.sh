#!/bin/sh
# The speed of the ensemble beside that of its NumPy reference, on one core, in turns, so that both
# meet the same machine. Prints each round's rates in million member-steps per second of wall time
# for the demo voyage's Direct route leaving in May, then the best of each and their ratio.
#
# Run, with the Python of scripts/reference/requirements.txt:
#     PYTHON=.venv/bin/python scripts/reference/ensemble_speed.sh [ROUNDS]
set -eu
cd "$(dirname "$0")/../.."
python=${PYTHON:-python3}
rounds=${1:-3}
export OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1

numpy_rate() {
    "$python" scripts/reference/ensemble.py --time --members 50000 |
        sed -n 's/^Direct 2027-05-01, 240 L:.* \([0-9.]*\) million per second of wall.*/\1/p'
}

# Criterion prints "thrpt: [low unit middle unit high unit]"; the middle one is its estimate.
offing_rate() {
    cargo bench --quiet --bench passage -- 'member-steps' 2>/dev/null |
        awk '$1 == "thrpt:" && !seen { sub(/\[/, "", $2); print $5 == "Gelem/s" ? 1000 * $4 : $4; seen = 1 }'
}

cargo bench --quiet --bench passage --no-run
round=1
while [ "$round" -le "$rounds" ]; do
    echo "$round $(numpy_rate) $(offing_rate)"
    round=$((round + 1))
done | awk '
    NF != 3 { print "round " $1 ": a rate is missing" > "/dev/stderr"; bad = 1; exit 1 }
    { printf "round %d: NumPy %.1f, offing %.1f, ratio %.1f\n", $1, $2, $3, $3 / $2; fflush() }
    $2 > numpy { numpy = $2 }
    $3 > offing { offing = $3 }
    END { if (bad) exit 1; printf "best: NumPy %.1f, offing %.1f, ratio %.1f\n", numpy, offing, offing / numpy }'
