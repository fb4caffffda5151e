# The three commands a person needs: make run, make test, make quick.
PYTHON ?= python3
BUSINESS ?= demo
VENV := .venv
BIN := $(VENV)/bin
export GAUGEROD_BUSINESS := $(BUSINESS)

.PHONY: run test quick deep format lint types contracts unit set-up set-up-dev lock clean

run: $(VENV)/run-time
	@$(BIN)/python -m gaugerod.start $(BUSINESS)

$(VENV)/python-found:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || \
	  { echo "Gaugerod needs Python 3.11 or newer; install it and run make again."; exit 1; }
	@$(PYTHON) -c 'import venv, ensurepip' 2>/dev/null || .ci/system-packages python3-venv
	@$(PYTHON) -m venv $(VENV)
	@touch $@

$(VENV)/run-time: requirements.txt | $(VENV)/python-found
	@.ci/system-packages pango
	@echo "Fetching the run-time packages (about 60, 150 MB) into $(VENV) ..."
	@$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements.txt
	@touch $@

$(VENV)/dev: requirements-dev.txt | $(VENV)/python-found
	@.ci/system-packages pango chromium
	@echo "Fetching the run-time and test packages (about 100, 250 MB) into $(VENV) ..."
	@$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements-dev.txt
	@touch $@ $(VENV)/run-time

set-up: $(VENV)/run-time
set-up-dev: $(VENV)/dev

quick: $(VENV)/dev
	@$(BIN)/python -m tests.gate quick

test: $(VENV)/dev
	@$(BIN)/python -m tests.gate full

deep: $(VENV)/dev
	@$(BIN)/python -m tests.gate deep

format: $(VENV)/dev
	@$(BIN)/ruff format .
	@$(BIN)/ruff check --fix .

# One lock that installs on 3.11, 3.12 and 3.13.
lock:
	@$(PYTHON) -m venv $(VENV)/lock && $(VENV)/lock/bin/pip install --quiet uv
	@$(VENV)/lock/bin/uv pip compile --quiet --universal --generate-hashes --no-emit-index-url --no-header --no-annotate --python-version 3.11 pyproject.toml -o requirements.txt
	@$(VENV)/lock/bin/uv pip compile --quiet --universal --generate-hashes --no-emit-index-url --no-header --no-annotate --python-version 3.11 --extra dev -c requirements.txt pyproject.toml -o requirements-dev.txt

clean:
	@rm -rf $(VENV) var .mypy_cache .ruff_cache .pytest_cache .hypothesis
