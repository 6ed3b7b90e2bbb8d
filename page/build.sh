#!/usr/bin/env bash
# Builds the module for browsers, page/module/tepid.wasm.gz, and notes what it was built from:
#
#     bash page/build.sh
#
# The ordinary build needs none of this: the module is kept in the repository. It is to be built anew whenever a source that is in it changes; the test
# `page_module` says so.
#
# Needs a compiler that has a standard library for WebAssembly, or can build one. Taken is the first that is there:
# 1. the toolchain's own:         rustup target add wasm32-unknown-unknown
# 2. Debian's rustc-web:          apt-get install --no-install-recommends rustc-web rust-web-src
# With neither it says so and ends with 3. In all cases cargo and the linker are those of the ordinary toolchain.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."

target=wasm32-unknown-unknown
# Of its own: the artefacts of two compilers do not mix.
built=${CARGO_TARGET_DIR:-target}/page
# Folders of this machine do not belong in the module.
export CARGO_ENCODED_RUSTFLAGS
CARGO_ENCODED_RUSTFLAGS="--remap-path-prefix=$PWD=tepid"$'\x1f'"--remap-path-prefix=${CARGO_HOME:-$HOME/.cargo}=cargo"
options=(--locked --package tepid-page --lib --profile page --target "$target" --target-dir "$built")

if rustup target list --installed 2>/dev/null | grep -q "^$target\$"; then
    cargo build "${options[@]}"
elif [[ -d /usr/lib/rustlib/src && -x /usr/bin/rustc ]]; then
    linker=$(rustc --print sysroot)/lib/rustlib/$(rustc -vV | sed -n 's/^host: //p')/bin/rust-lld
    # The standard library is built along with it, which only this variable allows.
    RUSTC=/usr/bin/rustc RUSTC_BOOTSTRAP=1 CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER=$linker \
        cargo build "${options[@]}" -Z build-std=std,panic_abort
else
    printf 'no compiler for %s here: see the head of page/build.sh\n' "$target" >&2
    exit 3
fi

mkdir -p page/module
# Without name and time, so that the same module is the same file.
gzip -9 -n -c "$built/$target/page/tepid_page.wasm" >page/module/tepid.wasm.gz
find {sim,strategies,scenarios,lessons,page}/{src,Cargo.toml} scenarios/library -type f | LC_ALL=C sort | xargs sha256sum >page/module/built-from.txt
wc -c page/module/tepid.wasm.gz
