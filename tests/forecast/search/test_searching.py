"""A search can be stopped, put down, taken up, and spread over others: the answer is the same."""

from __future__ import annotations

import json
import threading
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context

import pytest

from pullwright.forecast.search.errors import CannotSearch
from pullwright.forecast.search.searching import Search
from pullwright.forecast.search.spreading import Pool, Threads, on_dask
from tests.forecast.search.made_up import Shares, asked, searched


def mean(setting):
    return 0.3 + 0.06 * setting[0]


def story(search):
    """All that came of a search."""
    return search.found, {one: (trial.verdict, trial.rows) for one, trial in search.book.trials.items()}


@pytest.mark.parametrize("workers", [1, 2, 5])
def test_the_answer_is_the_same_whoever_runs(workers):
    alone = searched(asked(12), Shares(mean, 3))

    spread = searched(asked(12), Shares(mean, 3), Threads(workers))

    assert story(spread) == story(alone)
    assert spread.saved() == alone.saved()


def test_processes_give_the_same_answer():
    alone = searched(asked(12), Shares(mean, 3))
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
        spread = searched(asked(12), Shares(mean, 3), Pool(pool, 2))

    assert spread.saved() == alone.saved()


@pytest.mark.filterwarnings("ignore")
def test_a_cluster_gives_the_same_answer():
    distributed = pytest.importorskip("distributed", reason="the optional extra `dask` is not installed")
    alone = searched(asked(12), Shares(mean, 3))
    with (
        distributed.LocalCluster(n_workers=1, threads_per_worker=2, processes=False, dashboard_address=None) as cluster,
        distributed.Client(cluster) as client,
    ):  # fmt: skip
        hands = on_dask(client)
        spread = searched(asked(12), Shares(mean, 3), hands)

    assert hands.width == 2
    assert spread.saved() == alone.saved()


def test_a_cluster_without_its_packages_says_what_to_install(monkeypatch):
    monkeypatch.setitem(__import__("sys").modules, "dask.distributed", None)
    with pytest.raises(CannotSearch, match=r"pip install 'pullwright\[dask\]'"):
        on_dask("tcp://127.0.0.1:1")


@pytest.mark.parametrize("steps", [1, 4, 9])
def test_a_search_that_was_put_down_goes_on_to_the_same_answer(steps):
    whole = searched(asked(12), Shares(mean, 3))
    first = Search(asked(12), Shares(mean, 3), Threads(1))
    for _ in range(steps):
        first.step()

    second = Search(asked(12), Shares(mean, 3), Threads(2))
    second.resume(first.saved())
    second.run()

    assert story(second) == story(whole)
    assert second.saved() == whole.saved()


def test_what_was_run_already_is_not_run_again():
    whole = searched(asked(12), Shares(mean, 3))

    def never(setting, numbers):
        raise AssertionError("nothing is left to run")

    again = Search(asked(12), never)
    again.resume(whole.saved())

    assert again.done
    assert story(again) == story(whole)


def test_it_stops_though_a_run_goes_on_and_keeps_what_was_found():
    held, begun, asked_to_stop = threading.Event(), threading.Event(), threading.Event()
    shares = Shares(mean, 3)

    def slow(setting, numbers):
        if setting[0] < 12:
            begun.set()
            asked_to_stop.set()
            held.wait(30)
        return shares(setting, numbers)

    search = Search(asked(12), slow, Threads(2))
    done = search.run(stop=asked_to_stop.is_set)

    assert begun.is_set()
    assert not held.is_set(), "it did not wait for the run"
    held.set()
    assert not done
    assert search.book.best is not None
    assert search.book.best.setting == (12,)
    assert search.progress().left > 0


def test_progress_tells_the_best_so_far():
    told = []
    search = Search(asked(12), Shares(mean, 3))

    search.run(progress=told.append)

    assert told[-1].runs == sum(trial.runs for trial in search.book.trials.values())
    assert told[-1].best is not None
    assert told[-1].best.setting == search.found
    assert told[-1].left == 0
    costs = [sum(one.best.setting) for one in told if one.best is not None]
    assert costs == sorted(costs, reverse=True)


def test_an_error_in_a_run_comes_out_where_the_answer_is_waited_for():
    def broken(setting, numbers):
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        searched(asked(3), broken, Threads(2))


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda read: "no json", "this is no search"),
        (lambda read: json.dumps([]), "this is no search"),
        (lambda read: json.dumps(read | {"version": 99}), "form 99"),
        (lambda read: json.dumps(read | {"asked": read["asked"] | {"confidence": 0.5}}), "confidence differ"),
        (lambda read: json.dumps(read | {"runs": [[[77], [[1.0]]]]}), r"its runs of \[77\] cannot be"),
        (lambda read: json.dumps(read | {"runs": [[[12], [[1.0, 2.0]]]]}), r"its runs of \[12\] cannot be"),
    ],
)
def test_what_was_put_down_for_something_else_is_refused(change, said):
    read = json.loads(searched(asked(12), Shares(mean, 3)).saved())
    with pytest.raises(CannotSearch, match=said):
        Search(asked(12), Shares(mean, 3)).resume(change(read))


def test_no_workers_are_refused():
    with pytest.raises(CannotSearch, match="0 workers"):
        Threads(0)
