# Every target does what it needs first; `make` alone lists them.

PORT ?= 8000
PYTHON ?= python3
BROWSER ?= yes
export PORT

VENV := .venv
RUN := $(VENV)/bin
MANAGE := $(RUN)/python manage.py
PIP := $(RUN)/python -m pip install --quiet --disable-pip-version-check --require-hashes
PRODUCT := $(VENV)/.product-installed
TOOLS := $(VENV)/.tools-installed
COMPILE := $(RUN)/python -m piptools compile --quiet --generate-hashes --no-header --allow-unsafe --strip-extras \
	--no-emit-find-links --no-emit-index-url --no-emit-trusted-host --no-emit-options

.DEFAULT_GOAL := help
.PHONY: help install demo demo-reset serve test bench check format lock clean

help:  ## list the targets
	@awk -F ':.*## ' '/^[a-z-]+:.*## / { printf "  make %-12s %s\n", $$1, $$2 }' Makefile

install: $(PRODUCT)  ## the virtual environment .venv with the locked packages

demo: $(PRODUCT)  ## bring up the demo company on http://127.0.0.1:8000 (PORT=...); Ctrl-C stops it
	@exec $(MANAGE) demo --port $(PORT)

demo-reset: $(PRODUCT)  ## empty the demo's database and bring it up anew
	@exec $(MANAGE) demo --port $(PORT) --reset

serve: $(PRODUCT)  ## web and worker for production (needs SECRET_KEY; see README.md)
	@exec $(MANAGE) serve --port $(PORT)

test: $(TOOLS)  ## all tests (BROWSER=no leaves out those that need Chromium)
ifeq ($(BROWSER),no)
	$(RUN)/pytest -n auto --dist loadfile -m "not browser"
else
	@.ci/chromium
	$(RUN)/pytest -n auto --dist loadfile
endif

bench: $(TOOLS)  ## the benchmarks, as ratios, as a table
	@$(RUN)/python -m tests.benchmarks

check: $(TOOLS)  ## format, lint, types, import contracts, migrations, unused code and dependencies
	$(RUN)/ruff format --check .
	$(RUN)/ruff check .
	$(RUN)/mypy
	$(RUN)/lint-imports --no-cache
	$(MANAGE) makemigrations --check --dry-run
	TRUSTED_PROXIES=127.0.0.1 SECRET_KEY=$$($(RUN)/python -c 'import secrets; print(secrets.token_urlsafe(48))') \
		$(MANAGE) check --deploy --fail-level WARNING
	$(RUN)/vulture
	$(RUN)/deptry .

format: $(TOOLS)  ## put the code into the house style
	$(RUN)/ruff format .
	$(RUN)/ruff check --fix .

lock: $(TOOLS)  ## make the locks anew from requirements.in and requirements-dev.in
	$(COMPILE) --output-file requirements.txt requirements.in
	$(COMPILE) --output-file requirements-dev.txt requirements-dev.in

clean:  ## remove what tools left behind (not the data, not the environment)
	rm -rf .pytest_cache .mypy_cache .ruff_cache .hypothesis .benchmarks
	find . -name __pycache__ -not -path './$(VENV)/*' -prune -exec rm -rf {} +

$(VENV)/bin/python:
	$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11) and "Python 3.11 or newer is needed (PYTHON=python3.x)")'
	$(PYTHON) -m venv $(VENV)

$(PRODUCT): requirements.txt | $(VENV)/bin/python
	$(PIP) --requirement requirements.txt
	@touch $@

$(TOOLS): requirements-dev.txt $(PRODUCT)
	$(PIP) --requirement requirements-dev.txt
	@touch $@
