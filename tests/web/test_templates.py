"""Templates say which variables they take, and take no others."""

from __future__ import annotations

import re

import pytest
from jinja2 import UndefinedError, meta

from pullwright.web.assets import Assets
from pullwright.web.render import TEMPLATES, Look
from pullwright.web.seal import Seal

FILES = sorted(file.relative_to(TEMPLATES).as_posix() for file in TEMPLATES.rglob("*.html"))
LOOK = Look(Assets(), Seal(b"k" * 32))


@pytest.mark.parametrize("name", FILES)
def test_a_template_names_what_it_takes_in_its_head(name):
    source = (TEMPLATES / name).read_text("utf-8")
    head = re.match(r"\{#(.*?)#\}", source, re.DOTALL)
    assert head is not None, "a template begins with a comment"
    imported = {name for line in re.findall(r"import ([\w, ]+) %", source) for name in line.split(", ")}
    taken = meta.find_undeclared_variables(LOOK.templates.parse(source)) - {"caller"} - imported
    macros = {macro for macro in re.findall(r"macro ([a-z]\w*)\(", source) if macro not in ("around", "described")}
    for variable in taken | macros:
        assert re.search(rf"\b{variable}\b", head[1]), f"{variable} is not explained"


@pytest.mark.parametrize("name", FILES)
def test_a_template_marks_nothing_as_safe_and_has_no_inline_style_or_script(name):
    source = (TEMPLATES / name).read_text("utf-8")
    assert "|safe" not in source.replace(" ", "")
    assert "autoescape" not in source
    assert not re.search(r"\sstyle=|\son\w+=|<style|<script>", source)


def test_a_variable_that_is_missing_is_an_error():
    with pytest.raises(UndefinedError):
        LOOK.templates.from_string("{{ nothing }}").render()


def test_what_is_written_into_a_page_is_escaped():
    assert LOOK.templates.from_string("{{ text }}").render(text="<b>&\"'") == "&lt;b&gt;&amp;&#34;&#39;"
