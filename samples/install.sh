#!/bin/sh
# Installs what is missing of samples/debian-packages.txt with apt-get, as root or by sudo.
# usage: sh samples/install.sh [--tests]     --tests: also what only the tests need
set -eu
here=$(CDPATH='' cd -- "$(dirname -- "$0")" && pwd)

with_tests=0
case "${1-}" in
  '') ;;
  --tests) with_tests=1 ;;
  *) echo "usage: sh samples/install.sh [--tests]" >&2; exit 64 ;;
esac

packages=$(awk -v tests="$with_tests" '
  /^# For the tests only/ { if (!tests) exit }
  NF && !/^#/ { print $1 }' "$here/debian-packages.txt")

# A command of the package's name counts too: node and npm often come from elsewhere.
present() {
  case $(dpkg-query -W -f '${Status}' "$1" 2>/dev/null) in *' installed') return 0 ;; esac
  command -v "$1" >/dev/null 2>&1
}

missing=
for package in $packages; do
  present "$package" || missing="$missing $package"
done
if [ -z "$missing" ]; then
  echo "Every Debian package that is needed is here."
  exit 0
fi

as_root=
if [ "$(id -u)" -ne 0 ]; then
  if ! command -v sudo >/dev/null 2>&1; then
    echo "Missing:$missing. Run as root, or install sudo." >&2
    exit 77
  fi
  as_root=sudo
fi

log=$(mktemp)
trap 'rm -f "$log"' EXIT
quietly() {
  if ! $as_root env DEBIAN_FRONTEND=noninteractive "$@" >"$log" 2>&1; then
    cat "$log" >&2
    echo "This failed: $*" >&2
    exit 69
  fi
}

echo "Installing$missing (a few minutes)"
quietly apt-get update -q
# shellcheck disable=SC2086  # one word a package
quietly apt-get install -q -y --no-install-recommends $missing
echo "Installed."
