"""Every figure answers why, and no figure's answer grows without bounds."""

import json

import numpy as np
import pytest

from pullwright.figure import FigureError, Reading, Source, derive, from_readings, given, judged

FILE = "line.yaml"


def _lead_time():
    taken = tuple(
        Reading(value, "s", when="2024-03-04", where=f"row {row}") for row, value in enumerate([44.5, 45.5], 2)
    )
    hone = from_readings("honing", taken, "s", Source("study", "study T-014", file=FILE, line=41))
    stock = given("stock", 400.0, "pieces", Source("line file", "stores.honing.stock", file=FILE, line=52))
    wait = derive("waiting", lambda h, n: h * n, hone, stock, unit="s", formula="honing x stock")
    return derive("lead time", lambda w, h: w + h, wait, hone, unit="s", formula="waiting + honing", note="per piece")


def test_the_answer_reads_from_the_figure_down_to_the_reading():
    assert str(_lead_time().why()) == (
        "lead time: 5.01 h (4.68 to 5.37) = waiting + honing; per piece\n"
        "    waiting: 5.00 h (4.67 to 5.35) = honing x stock\n"
        "        honing: 45.0 s (42.0 to 48.2) [study T-014 (line.yaml:41); 2 readings: 44.5 s, 45.5 s]\n"
        "        stock: 400 pieces [line file: stores.honing.stock (line.yaml:52)]\n"
        "    honing: 45.0 s (42.0 to 48.2) (see above)"
    )


def test_a_depth_ends_the_answer_and_says_how_much_is_left():
    assert str(_lead_time().why(depth=1)).splitlines()[1:] == [
        "    waiting: 5.00 h (4.67 to 5.35) = honing x stock",
        "        … made from 2 figures more",
        "    honing: 45.0 s (42.0 to 48.2) [study T-014 (line.yaml:41); 2 readings: 44.5 s, 45.5 s]",
    ]
    assert _lead_time().why(depth=0).hidden == 2
    with pytest.raises(FigureError, match="a depth of -1"):
        _lead_time().why(depth=-1)


def test_within_a_depth_a_figure_is_opened_out_where_it_stands_nearest_the_top():
    tree = _lead_time().why(depth=2)
    assert [node.seen_above for node in tree.walk() if node.figure.name == "honing"] == [True, False]
    assert "honing: 45.0 s (42.0 to 48.2) (see below)" in str(tree)


def test_the_answer_as_plain_values_is_json_and_keeps_the_readings():
    entry = json.loads(json.dumps(_lead_time().why().as_dict(), allow_nan=False))
    honing = entry["inputs"][0]["inputs"][0]
    assert (entry["name"], entry["unit"], entry["value_text"], entry["unit_text"]) == ("lead time", "s", "5.01", "h")
    assert honing["source"]["line"] == 41
    assert honing["source"]["readings"][1] == {
        "value": 45.5, "unit": "s", "when": "2024-03-04", "who": "", "where": "row 3", "from": "",
    }  # fmt: skip
    assert entry["inputs"][1]["seen_above"] is True
    assert entry["inputs"][1]["inputs"] == []


def test_a_number_without_end_is_null_beside_its_text():
    wait = given("wait", np.inf, "s", Source("computed", "queue"))
    entry = wait.why().as_dict()
    assert entry["value"] is None
    assert entry["interval"] == [None, None]
    assert entry["text"] == "without end"


def test_money_reads_in_the_currency_asked_for():
    cost = given("wage", 24.0, "money/h", Source("line file", "money.wage"))
    assert "24 CHF/h" in str(cost.why(currency="CHF"))


def test_sharing_does_not_blow_the_answer_up():
    figure = judged("start", 1.0, 2.0, 3.0, "1", Source("line file", "start"))
    for level in range(200):  # 2 to the 200 ways from the top to the bottom
        figure = derive(f"level {level}", lambda a, b: (a + b) / 2, figure, figure, unit="1", formula="mean of both")
    tree = figure.why()
    assert sum(1 for _ in tree.walk()) == 401
    assert len(str(tree).splitlines()) == 401
    assert len(json.dumps(figure.why(depth=50).as_dict())) < 200_000
    assert figure._repr_html_().count("<details") == 200
    assert figure.find("start").value == 2.0
    assert figure.share_of_uncertainty()[0].share == pytest.approx(1.0, abs=1e-6)


def test_a_chain_deeper_than_the_stack_of_calls_is_no_trouble():
    figure = judged("start", 1.0, 2.0, 3.0, "1", Source("line file", "start"))
    for level in range(3000):
        figure = derive(f"level {level}", lambda a: a + 1, figure, unit="1", formula="one more")
    assert len(str(figure.why()).splitlines()) == 3001
    assert figure.why().as_dict()["name"] == "level 2999"
    assert figure.find("start").name == "start"
    assert figure.watch_next()[0].figure.name == "start"


def test_find_gives_the_line_where_the_figure_is_opened_out():
    tree = _lead_time().why()
    assert tree.find("honing").depth == 2
    assert tree.find("nothing") is None


def test_many_readings_are_told_in_part():
    many = from_readings("honing", [float(value) for value in range(40, 60)], "s", Source("study", "study T-014"))
    assert "20 readings: 40 s, 41 s, 42 s, 43 s, 44 s, 45 s, 46 s, 47 s and 12 more" in str(many.why())
    assert len(many.why().as_dict()["source"]["readings"]) == 20


def test_a_notebook_shows_the_answer_with_every_sign_made_safe():
    sly = given("<b>cost & co</b>", 3.0, "money", Source("line file", "<script>"))
    page = derive("sum", lambda a: a + 1, sly, unit="money", formula="cost < 4")._repr_html_()
    assert "<b>cost" not in page
    assert "<script>" not in page
    assert "&lt;b&gt;cost &amp; co&lt;/b&gt;: 3" in page
    assert "cost &lt; 4" in page
    assert page.count("<div") == page.count("</div>")
    assert page.count("<details") == page.count("</details>")
