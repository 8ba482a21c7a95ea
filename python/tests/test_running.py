"""Other threads run while a question is answered, and Ctrl-C ends it."""

import itertools
import signal
import subprocess
import sys
import threading
import time

import offing
import pytest


def test_other_threads_run_meanwhile():
    voyage = offing.Voyage.demo()
    ticks, done = [], threading.Event()

    def tick():
        while not done.is_set():
            ticks.append(time.perf_counter())
            time.sleep(0.005)

    ticking = threading.Thread(target=tick)
    ticking.start()
    voyage.season(members=100)
    done.set()
    ticking.join()
    # Held up by the question for no longer than a busy machine holds up any thread.
    longest = max(later - sooner for sooner, later in itertools.pairwise(ticks))
    assert len(ticks) > 5 and longest < 0.5


@pytest.mark.skipif(sys.platform == "win32", reason="signals are sent otherwise there")
def test_ctrl_c_ends_a_question_soon():
    asks = (
        "import signal, offing\n"
        # The parent may ignore it, and its children then do.
        "signal.signal(signal.SIGINT, signal.default_int_handler)\n"
        "print('asking', flush=True)\n"
        "try:\n"
        "    offing.Voyage.demo().season(members=50_000)\n"
        "except KeyboardInterrupt:\n"
        "    print('interrupted', flush=True)\n"
    )
    running = subprocess.Popen([sys.executable, "-c", asks], stdout=subprocess.PIPE, text=True)
    assert running.stdout.readline() == "asking\n"
    time.sleep(1)
    sent = time.perf_counter()
    running.send_signal(signal.SIGINT)
    assert running.stdout.readline() == "interrupted\n"
    # It looks every 0.1 s; a busy machine may take longer.
    assert time.perf_counter() - sent < 5
    assert running.wait(timeout=30) == 0


def test_two_questions_at_once_have_their_own_answers():
    voyage = offing.Voyage.demo()
    alone = {seed: voyage.compare(members=50, seed=seed).to_json() for seed in range(4)}
    found = {}

    def ask(seed):
        found[seed] = voyage.compare(members=50, seed=seed).to_json()

    asking = [threading.Thread(target=ask, args=(seed,)) for seed in alone]
    for thread in asking:
        thread.start()
    for thread in asking:
        thread.join()
    assert found == alone
