# The everyday commands. Everything they install goes into .venv; `rm -r .venv` starts afresh.

PYTHON = python3
BIN = .venv/bin
RUN_READY = .venv/requirements.stamp
TEST_READY = .venv/tests-requirements.stamp

.PHONY: demo test browser pictures lint types hashes sbom audit
.DELETE_ON_ERROR:

demo: $(RUN_READY)
	$(BIN)/python manage.py demo

test: $(TEST_READY)
	$(BIN)/python -m pytest -n 2 --dist worksteal $(PYTEST)

browser: $(TEST_READY)
	$(BIN)/python -m pytest tests/browser -m browser

# Of the guides, in shop/static/guide; after a page that they show has changed.
pictures: $(TEST_READY)
	$(BIN)/python -m tests.pictures

lint: $(TEST_READY)
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .

types: $(TEST_READY)
	$(BIN)/mypy

# After a change of requirements.in or tests/requirements.in: each file that pip may choose on any system, by its digest.
COMPILE = $(BIN)/uv pip compile --quiet --universal --python-version 3.11 --generate-hashes --no-annotate \
	--custom-compile-command "make hashes"

hashes: $(TEST_READY)
	$(COMPILE) requirements.in -o requirements.txt
	$(COMPILE) tests/requirements.in -o tests/requirements.txt

# What Gripbook runs on, as a bill of materials (CycloneDX): sbom.json.
sbom: $(TEST_READY)
	$(BIN)/python -m tests.sbom sbom.json

# Which of it has known holes; says so where nobody could be asked.
audit: $(TEST_READY)
	$(BIN)/python -m tests.audit

# --clear, because a first try that failed (no pip on this machine yet) leaves half a .venv behind.
.venv/made.stamp:
	@$(PYTHON) -c 'import sys; sys.exit("Gripbook needs Python 3.11 or newer: make PYTHON=/path/to/python3 ..." if sys.version_info < (3, 11) else 0)'
	$(PYTHON) -m venv --clear .venv
	touch $@

$(RUN_READY): requirements.txt .venv/made.stamp
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements.txt
	touch $@

$(TEST_READY): tests/requirements.txt $(RUN_READY)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r tests/requirements.txt
	touch $@
