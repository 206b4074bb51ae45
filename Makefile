# beachmark: two commands matter, `make run` and `make test`. Both do all the set-up that they need.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
READY := $(VENV)/.ready-dev
RUNTIME := $(VENV)/.ready-run

.PHONY: run test check bench setup format system-packages clean

run: $(RUNTIME)
	@$(BIN)/beachmark start $(if $(HEADLESS),--no-serve)

test: $(READY) system-packages
	$(MAKE) --no-print-directory check
	$(BIN)/pytest -n auto --dist loadgroup

check: $(READY)
	$(BIN)/ruff format --check src tests scripts
	$(BIN)/ruff check src tests scripts
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/beachmark knowledge lint

# Whirl is timed against ross-rotordynamics too if ROSS_PYTHON names a Python that has it; else our own times only.
bench: $(READY)
	$(BIN)/python scripts/bench.py
	$(BIN)/python scripts/bench_mechanics.py
	$(BIN)/python scripts/bench_rainflow.py
	$(BIN)/python scripts/bench_replay.py
	$(BIN)/python scripts/bench_whirl.py $(ROSS_PYTHON)

setup: $(READY)

format: $(READY)
	$(BIN)/ruff format src tests scripts
	$(BIN)/ruff check --fix src tests scripts

# Debian's browser and PDF tools for the tests; nothing of it is needed to run the app.
system-packages:
	@sh scripts/system_packages.sh

$(RUNTIME): pyproject.toml constraints.txt
	@test -x $(BIN)/python || $(PYTHON) -m venv $(VENV)
	@echo "setting up (once, about half a minute) ..."
	@$(BIN)/pip install --quiet --disable-pip-version-check -c constraints.txt -e .
	@touch $@

$(READY): pyproject.toml constraints.txt
	@test -x $(BIN)/python || $(PYTHON) -m venv $(VENV)
	$(BIN)/pip install --quiet --disable-pip-version-check -c constraints.txt -e '.[dev]'
	@touch $@ $(RUNTIME)

clean:
	rm -rf $(VENV) .mypy_cache .ruff_cache .pytest_cache .import_linter_cache build dist
