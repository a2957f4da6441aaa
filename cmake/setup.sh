#!/usr/bin/env bash
# Installs what gearwhy is built from, on Debian and its relatives: cmake/setup.sh [package | tests]
#
# With `package`, also what a Debian package is made with. With `tests`, that as well, and what the tests need: Catch2, and
# the outside programs that some of them compare with: gringo (rules), jags (chances), units (conversions), parallel (cases
# shared out), python3-jsonschema with python3-yaml (schemas of files), chromium with node and two packages of npm's (what a
# browser makes of the sheets), mandoc and man-db (manual pages), fish and zsh (completions).
# Asks the package manager only when something is missing, and says what it installs.
# Elsewhere it changes nothing and names what has to be there.
set -euo pipefail

packages=(g++ cmake ninja-build libyaml-cpp-dev libcli11-dev libfmt-dev libeigen3-dev nlohmann-json3-dev nettle-dev
          libedit-dev libutf8proc-dev libstemmer-dev libcereal-dev)
if [[ ${1:-} == package || ${1:-} == tests ]]; then packages+=(dpkg-dev file); fi
if [[ ${1:-} == tests ]]; then
  packages+=(catch2 chromium fish gringo jags man-db mandoc parallel python3-jsonschema python3-yaml units zsh)
  # Somebody's own node and npm are as good.
  if ! command -v node >/dev/null; then packages+=(nodejs); fi
  if ! command -v npm >/dev/null; then packages+=(npm); fi
fi

# The two packages that drive the browser, as tests/sheet/package-lock.json pins them; they are put beside it.
install_node_packages() {
  local folder
  folder=$(cd "$(dirname "${BASH_SOURCE[0]}")/../tests/sheet" && pwd)
  if [[ $folder/node_modules/.package-lock.json -nt $folder/package-lock.json ]]; then return; fi
  echo "Installing the packages of tests/sheet/package.json"
  (cd "$folder" && npm ci --ignore-scripts --no-audit --no-fund --silent)
}

installed() {
  [[ $(dpkg-query --show --showformat='${db:Status-Status}' "$1" 2>/dev/null) == installed ]]
}

available() {
  apt-cache show "$1" >/dev/null 2>&1
}

if ! command -v dpkg-query >/dev/null || ! command -v apt-get >/dev/null; then
  echo "This is no Debian system: taking it that these, or what they are called here, are installed:" >&2
  echo "  ${packages[*]}" >&2
  exit 0
fi

missing=()
for package in "${packages[@]}"; do
  if installed "$package"; then continue; fi
  if [[ $package == catch2 ]] && installed libcatch2-dev; then continue; fi
  missing+=("$package")
done
if [[ ${#missing[@]} -eq 0 ]]; then
  if [[ ${1:-} == tests ]]; then install_node_packages; fi
  exit 0
fi

as_root=()
if [[ $(id -u) -ne 0 ]]; then
  if ! command -v sudo >/dev/null; then
    echo "Please install these as root, then try again: apt-get install ${missing[*]}" >&2
    exit 1
  fi
  as_root=(sudo)
fi
# Not every sudo passes the environment on.
as_root+=(env DEBIAN_FRONTEND=noninteractive)

echo "Reading the list of packages"
"${as_root[@]}" apt-get update -qq
for i in "${!missing[@]}"; do
  # Catch2 goes by two names.
  if [[ ${missing[i]} == catch2 ]] && ! available catch2 && available libcatch2-dev; then missing[i]=libcatch2-dev; fi
done
echo "Installing ${missing[*]}"
"${as_root[@]}" apt-get install -y -qq --no-install-recommends "${missing[@]}"
if [[ ${1:-} == tests ]]; then install_node_packages; fi
