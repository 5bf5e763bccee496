# Everything is installed into .venv in this folder; only Python >= 3.11, make and a package
# registry are needed.  README.md lists the same steps for machines without make.

PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
# Stamps: what the program needs is installed; what tests, lint and types need as well.
READY := $(VENV)/.ready
READY_TO_TEST := $(VENV)/.ready-to-test
CASE ?= fixtures/healthy-sister.json
TESTS ?= tests

.PHONY: run test docs setup setup-tests lint types lock clean

run: setup
	$(BIN)/twothirds solve $(CASE)
	$(BIN)/twothirds explain $(CASE)
	mkdir -p build
	$(BIN)/twothirds draw $(CASE) -o build/tree.svg
	$(BIN)/twothirds report $(CASE) -o build/case.pdf
	@echo "Written: build/tree.svg and build/case.pdf.  The app follows; Ctrl-C stops it."
	$(BIN)/twothirds app

test: setup-tests
	$(BIN)/python -m pytest -n auto --dist loadfile $(TESTS)

# The documents as a site, in build/site; fails on a link that leads nowhere.
docs: setup-tests
	$(BIN)/mkdocs build --quiet --strict --config-file docs/site/mkdocs.yml
	@echo "Written: build/site/index.html"

setup: $(READY)
setup-tests: $(READY_TO_TEST)

$(READY): requirements.lock pyproject.toml
	$(PYTHON) -c 'import sys; sys.exit(None if sys.version_info >= (3, 11) else "Python 3.11 or newer is needed; name one with: make PYTHON=python3.12")'
	@echo "Installing what the program needs into $(VENV); the first time this takes a few minutes."
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --require-hashes -r requirements.lock
	$(BIN)/python -m pip install --quiet --no-deps --no-build-isolation --editable .
	$(BIN)/python -m compileall -q risk
	touch $@

$(READY_TO_TEST): requirements-dev.lock $(READY)
	@echo "Installing what the tests need into $(VENV)."
	$(BIN)/python -m pip install --quiet --require-hashes -r requirements-dev.lock
	touch $@

lint: setup-tests
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/lint-imports

types: setup-tests
	$(BIN)/mypy

# After a change of dependencies in pyproject.toml; needs `uv` on the path.
LOCK := uv pip compile --quiet --universal --python-version 3.11 --generate-hashes --no-header
lock:
	$(LOCK) --extra app --group build --output-file requirements.lock pyproject.toml
	$(LOCK) --all-extras --group build --group dev --constraint requirements.lock \
		--output-file requirements-dev.lock pyproject.toml

clean:
	rm -rf build dist $(VENV)
