#!/usr/bin/env bash
# The peer comparison, from nothing to its table:
#
#     bash benches/peers/run.sh
#
# Needs Python 3.11 or newer with venv, a stable Rust toolchain, and for the first run the registries of both. Everything it makes stands under
# CARGO_TARGET_DIR or ./target.
set -euo pipefail
here=$(realpath "$(dirname "${BASH_SOURCE[0]}")")
target=$(realpath -m "${CARGO_TARGET_DIR:-$here/../../target}")
cd "$here"
made=$target/peers
mkdir -p "$made"

[[ -x $made/venv/bin/python ]] || python3 -m venv "$made/venv"
"$made/venv/bin/pip" install --quiet --disable-pip-version-check -r requirements.txt
CARGO_TARGET_DIR=$target cargo build --locked --quiet --release --manifest-path rust/Cargo.toml

# Not into the tree.
export PYTHONPYCACHEPREFIX=$made/bytecode
"$made/venv/bin/python" compare.py "$target/release" "$made"
