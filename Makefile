# Every target sets itself up: it needs Python 3.11 or newer with pip, and make. The environment lives in .venv,
# the libraries come from requirements.lock with their hashes checked. Extra arguments: make test ARGS="-k gap".
# Tests run on all cores; make test WORKERS=0 runs them in one process, as a debugger needs it.

VENV := .venv
PY := $(VENV)/bin/python
PIP_OPTIONS := --disable-pip-version-check --quiet --quiet
CANDIDATES := $(PYTHON) python3 python3.13 python3.12 python3.11
ARGS ?=
WORKERS ?= auto
# Each worker begins with a share of the files in their order, so that what a file sets up is set up once; whoever is
# done early takes over from the end of another's share.
PYTEST = $(PY) -m pytest --numprocesses $(WORKERS) --dist worksteal

.DEFAULT_GOAL := help
.PHONY: help demo serve test test-slow bench validate lint format lock build clean

help: ## list the targets
	@sed -n 's/^\([a-z-]*\):.*## \(.*\)/  make \1\t\2/p' $(MAKEFILE_LIST) | expand -t 20

demo: $(VENV)/.installed ## run the demo: three invented vans, from workbooks to a reconciled gap
	$(VENV)/bin/hoistbook demo --out out/demo $(ARGS)

serve: $(VENV)/.installed ## show the pages of the demo's store on this machine
	@test -f out/demo/store/store.toml || $(MAKE) demo
	$(VENV)/bin/hoistbook serve --store out/demo/store $(ARGS)

# On SQLite, and where Debian's postgresql is installed also on a PostgreSQL server of its own.
test: $(VENV)/.installed ## run the tests and the examples in the docstrings
	@scripts/with_postgresql.sh $(PYTEST) $(ARGS)

# Exit code 5 of pytest: there is none.
test-slow: $(VENV)/.installed ## run the long statistical tests
	$(PYTEST) -m slow $(ARGS) || [ $$? -eq 5 ]

bench: $(VENV)/.installed ## time the engines
	@set -e; for script in benchmarks/bench_*.py; do echo "== $$script"; $(PY) "$$script" $(ARGS); done

validate: $(VENV)/.installed ## compare the engines with published examples and planted truth
	$(PY) scripts/validate.py $(ARGS)

lint: $(VENV)/.installed ## check style, format, types and the layers
	$(PY) -m ruff check .
	$(PY) -m ruff format --check .
	$(PY) -m mypy
	$(VENV)/bin/lint-imports

format: $(VENV)/.installed ## put the code in its standard form
	$(PY) -m ruff check --fix .
	$(PY) -m ruff format .

lock: ## resolve requirements.lock anew (needs the tool uv)
	uv pip compile pyproject.toml --group dev --extra fast --extra postgresql --universal --generate-hashes --no-header --upgrade \
		--quiet --output-file requirements.lock

build: $(VENV)/.installed ## build the source archive and the wheel into dist/
	rm -rf dist
	$(PY) -m build --no-isolation --quiet

clean: ## remove the environment and everything that was made
	rm -rf $(VENV) build dist out src/*.egg-info .*_cache .hypothesis

# A python that is named python3.12 can be a shim that fails, so each candidate is tried, not only looked up.
# Where the system's Python has no ensurepip, its own pip fills the new environment from outside.
$(VENV)/.libraries: requirements.lock
	@set -e; \
	found=; \
	for python in $(CANDIDATES); do \
		if "$$python" -c 'import sys, venv; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; then found=$$python; break; fi; \
	done; \
	if [ -z "$$found" ]; then \
		echo "hoistbook needs Python 3.11 or newer; tried: $(CANDIDATES)." >&2; \
		echo "Install one, or name it: make PYTHON=/path/to/python3.12 test" >&2; \
		exit 1; \
	fi; \
	if ! $(PY) -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; then \
		echo "Making $(VENV) with $$found ($$("$$found" --version))"; \
		if "$$found" -c 'import ensurepip' 2>/dev/null; then "$$found" -m venv --clear $(VENV); \
		else "$$found" -m venv --clear --without-pip $(VENV); fi; \
	fi; \
	if $(PY) -m pip --version >/dev/null 2>&1; then pip="$(PY) -m pip"; \
	elif "$$found" -m pip --version >/dev/null 2>&1; then pip="$$found -m pip --python $(PY)"; \
	else echo "$$found has neither ensurepip nor pip; install pip (Debian: apt-get install python3-venv)." >&2; exit 1; fi; \
	echo "Installing the locked libraries into $(VENV)"; \
	$$pip install $(PIP_OPTIONS) --require-hashes -r requirements.lock; \
	touch $@

$(VENV)/.installed: $(VENV)/.libraries pyproject.toml src/hoistbook/__init__.py
	@$(PY) -m pip install $(PIP_OPTIONS) --no-deps --no-build-isolation --editable .
	@touch $@
