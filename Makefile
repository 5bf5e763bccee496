# Everything is installed into .venv in this folder; only Python >= 3.11, make and a package
# registry are needed.  README.md lists the same steps for machines without make.

PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
READY := $(VENV)/.ready
CASE ?= fixtures/healthy-sister.json
TESTS ?= tests

.PHONY: run test setup lint types clean

run: setup
	$(BIN)/twothirds solve $(CASE)

test: setup
	$(BIN)/python -m pytest $(TESTS)

setup: $(READY)

$(READY): requirements.lock pyproject.toml
	$(PYTHON) -c 'import sys; sys.exit(None if sys.version_info >= (3, 11) else "Python 3.11 or newer is needed; name one with: make PYTHON=python3.12")'
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --require-hashes -r requirements.lock
	$(BIN)/python -m pip install --quiet --no-deps --no-build-isolation --editable .
	$(BIN)/python -m compileall -q risk
	touch $(READY)

lint: setup
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/lint-imports

types: setup
	$(BIN)/mypy

# After a change of dependencies in pyproject.toml; needs `uv` on the path.
.PHONY: lock
lock:
	uv pip compile --quiet --universal --python-version 3.11 --generate-hashes --all-extras \
		--group dev --no-header --output-file requirements.lock pyproject.toml

clean:
	rm -rf build dist $(VENV)
