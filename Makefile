# `make try` and `make test` each do their own set-up; `try` installs no tool of the tests.
.DEFAULT_GOAL := help
SHELL := /bin/sh
BIN := .venv/bin
PROGRAM := .venv/.program
TOOLS := .venv/.installed
INSTALL = $(BIN)/python -m pip install -q --disable-pip-version-check -c constraints.txt
FAILED = { echo "That did not work; pip says above why. Mend it and say the same again: what is there stays." >&2; exit 1; }
# Without a screen Qt draws off screen; where there is one, the person's own choice holds.
export QT_QPA_PLATFORM ?= $(if $(or $(DISPLAY),$(WAYLAND_DISPLAY)),,offscreen)
# Most tests start the program anew: what was compiled once is kept, as it is wherever it is installed.
export PYTHONDONTWRITEBYTECODE =

.NOTPARALLEL:
.DELETE_ON_ERROR:
.PHONY: help setup try test test-faults check bench shots format messages clean

help:           ## say what there is
	@grep -E '^[a-z-]+: .*##' $(MAKEFILE_LIST) | sed -E 's/:.*##/ -/'

$(BIN)/python:
	@python=$$(for p in python3.13 python3.12 python3.14 python3; do \
	    $$p -c 'import sys; sys.exit(sys.version_info < (3, 12, 2))' 2>/dev/null && echo $$p && break; \
	  done); \
	if [ -z "$$python" ]; then \
	  echo "Drawoff needs Python 3.12.2 or later, and none was found on the path." >&2; exit 1; fi; \
	echo "Making an environment for Drawoff in .venv, with $$($$python --version) ..."; \
	"$$python" -m venv .venv

$(PROGRAM): pyproject.toml constraints.txt | $(BIN)/python
	@echo "Installing the program and the libraries it runs on into .venv (a minute or two, once) ..."
	@$(INSTALL) -e . || $(FAILED)
	@touch $@

$(TOOLS): pyproject.toml constraints.txt | $(BIN)/python
	@echo "Installing the program, its libraries and the tools of its tests into .venv (some minutes, once) ..."
	@$(INSTALL) -e '.[dev]' || $(FAILED)
	@touch $(PROGRAM) $@

setup: $(TOOLS) ## make .venv and install the program into it, with the tools of its tests

try: $(PROGRAM) ## build the sample office, play one whole visit, write its papers
	@echo "Building an invented office and playing one whole visit in it, into the folder out ..."
	@$(BIN)/drawoff try --out out

# Three at a time on two cores: a journey waits for a screen half of its time.
test: setup     ## every test but the long proofs, on two cores
	$(BIN)/python -m pytest -q -n 3 --dist loadfile --no-loadscope-reorder

test-faults: setup ## the long proofs: kills, full disks, damaged files, many invented cases
	$(BIN)/python -m pytest -q -n 2 --dist loadfile -m fault tests
	$(BIN)/python -m pytest -q -n 2 -m 'hypothesis and not fault and not bench' --hypothesis-profile long tests

check: setup    ## format, lint, types, imports, content
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/python -m desk.trade.content

bench: setup    ## figures, as ratios against a rival or a floor of the same run
	$(BIN)/python -m pytest -q -m bench tests/benchmarks -s

shots: setup    ## pictures of the pages and windows, into out/shots
	$(BIN)/python -m tests.shots out/shots

format: setup   ## put the code in order
	$(BIN)/ruff format .
	$(BIN)/ruff check --fix .

messages: setup ## collect the texts to translate into resources/translations/drawoff.pot
	$(BIN)/pybabel -q extract -F babel.cfg -k message:1 -k _:1 -k plural:1,2 -k finding:1 --omit-header \
	  --sort-by-file -o resources/translations/drawoff.pot desk sample_db

clean:          ## take away what was built
	rm -rf .venv out build dist
