# Everything is set up inside the clone (.venv); nothing on the machine is changed by `make demo`.
PYTHON ?= python3
VENV := .venv
RUN := $(VENV)/bin
PORT ?= 8480

export PIP_CONSTRAINT := $(CURDIR)/constraints.txt
export PIP_DISABLE_PIP_VERSION_CHECK := 1
# The first program that uses a module keeps its bytecode; to compile all that is installed takes as long as to install it.
export PYTHONDONTWRITEBYTECODE :=
INSTALL := $(RUN)/python -m pip install --quiet --no-compile

.PHONY: demo test lint format bench clean
.DEFAULT_GOAL := demo

$(VENV)/bin/python:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { echo "Pullwright needs Python 3.11 or newer; '$(PYTHON)' is older. Name another: make PYTHON=python3.12 ..."; exit 2; }
	@$(PYTHON) -m venv $(VENV) || { rm -rf $(VENV); echo "Python could not make a virtual environment; on Debian: apt-get install python3-venv"; exit 2; }

$(VENV)/ready: pyproject.toml constraints.txt | $(VENV)/bin/python
	@echo "Setting up what Pullwright needs in $(VENV) (a minute or two, once)"
	@$(INSTALL) --upgrade pip
	@$(INSTALL) --editable .
	@touch $@

# The tests need all that `ready` stands for, so one run of pip sets up both.
$(VENV)/ready-dev: pyproject.toml constraints.txt | $(VENV)/bin/python
	@echo "Setting up what Pullwright and its tests need in $(VENV) (a minute or two, once)"
	@$(INSTALL) --upgrade pip
	@$(INSTALL) --editable '.[dev]'
	@touch $(VENV)/ready $@

demo: $(VENV)/ready
	@$(RUN)/pullwright demo --port $(PORT)

test: $(VENV)/ready-dev
	@$(RUN)/python tests/machine.py
	@$(RUN)/python -m pytest -n 2 --dist worksteal

lint: $(VENV)/ready-dev
	@$(RUN)/ruff check .
	@$(RUN)/ruff format --check .
	@$(RUN)/mypy --num-workers 2
	@$(RUN)/lint-imports

format: $(VENV)/ready-dev
	@$(RUN)/ruff check --fix .
	@$(RUN)/ruff format .

bench: $(VENV)/ready-dev
	@$(RUN)/python -m bench

clean:
	@rm -rf $(VENV) .mypy_cache .ruff_cache .pytest_cache .hypothesis .import_linter_cache
