#!/usr/bin/env bash
# Builds the Debian package: cmake/package.sh [FOLDER]
#
# It lands in FOLDER, or else in build/package. `apt install ./gearwhy_*.deb` installs it, with the libraries it needs, and
# `apt remove gearwhy` takes it away again.
set -euo pipefail
folder=$(realpath -m "${1:-$(dirname "${BASH_SOURCE[0]}")/../build/package}")
cd "$(dirname "${BASH_SOURCE[0]}")/.."

cmake/setup.sh package
launcher=()
if command -v ccache >/dev/null; then launcher=(-DCMAKE_CXX_COMPILER_LAUNCHER=ccache); fi
cmake --preset release --log-level=WARNING "${launcher[@]}" >/dev/null
cmake --build --preset release --target gearwhy
cpack -G DEB --config build/release/CPackConfig.cmake -B "$folder"
rm -rf "$folder/_CPack_Packages"
