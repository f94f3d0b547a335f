# Each target works from a bare clone with nothing but Python >= 3.11 and make.
# Another interpreter: make test PYTHON=python3.12

PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
READY := $(VENV)/.ready

# One file's tests stay in one process, and the files go out in the order of tests/order.py.
TESTS := $(BIN)/python -m pytest -n 2 --dist loadfile --no-loadscope-reorder

.PHONY: setup run test test-all thorough demo bench check docs

setup: $(READY)

$(READY): pyproject.toml constraints.txt
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11) and "Python 3.11 or later is needed; this is " + sys.version.split()[0] + ". Try: make $(MAKECMDGOALS) PYTHON=python3.12")'
	@echo 'Setting up $(VENV); this takes a minute or so, the first time only.'
	@test -x $(BIN)/pip || $(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -c constraints.txt -e '.[dev]'
	@touch $@

run: $(READY)
	$(BIN)/python -m meshcore_estimator --demo

# What is compiled once serves all the processes that tests start, whatever the surroundings say.
test test-all: export PYTHONDONTWRITEBYTECODE :=

test: $(READY)
	$(TESTS) -m "not outside"

test-all: $(READY)
	$(TESTS)

thorough: $(READY)
	MESHCORE_THOROUGH=1 $(BIN)/python -m pytest -n 2 --dist load -m thorough

demo: $(READY)
	@mkdir -p out
	$(BIN)/python -m meshcore estimate --mesh-count 10/in --wire "0.025 in" --alloy 304 --roll "48 in x 100 ft" --quantity 3 --demo
	$(BIN)/python -m meshcore price demo_data/enquiries.csv -o out/priced.xlsx --demo
	$(BIN)/python -m meshcore quote demo_data/inbox/04-observatory.eml -o out/quotation.pdf --terms demo_data/terms.toml --demo --number DEMO-1 --unfiled
	@echo "The priced list is in out/priced.xlsx, the quotation of a letter in out/quotation.pdf"

bench: $(READY)
	$(BIN)/python benchmarks/run.py

check: $(READY)
	$(BIN)/ruff check
	$(BIN)/ruff format --check
	$(BIN)/mypy

docs: $(READY)
	@rm -rf out/site
	$(BIN)/python -m sphinx -b html -q -W --keep-going -E -d out/doctrees docs out/site
	$(BIN)/python docs/making/links.py out/site
	@echo "The site is in out/site/index.html"
