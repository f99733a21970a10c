#!/usr/bin/env bash
# The demonstration books priced by the release build, and their bids recalculated by LibreOffice: values as stored, wrong
# ones found, inputs live; their supplier orders opened (words, locks, sums), filled in and read back. Needs soffice and
# Debian's python3-uno; $PYTHON is the Python that uno belongs to.
set -euo pipefail
cd "$(dirname "$0")/../.."
python="${PYTHON:-/usr/bin/python3}"
target="${CARGO_TARGET_DIR:-target}"
work="$(mktemp -d)"
trap 'rm -rf "$work"' EXIT

cargo build --release --locked
program="$(cd "$target/release" && pwd)/tallybore"
bids=()
for book in demo-books/*.xlsx; do
    bid="$work/$(basename "$book" .xlsx)-bid.xlsx"
    "$program" price "$book" -o "$bid"
    bids+=("$bid")
done

export PYTHONDONTWRITEBYTECODE=1
for check in same planted "live $program"; do
    echo "-- ${check%% *}"
    # shellcheck disable=SC2086 # the program's path is meant to be an argument of its own
    "$python" tests/outside/recalc.py $check "${bids[@]}"
done

echo "-- orders"
"$python" tests/outside/orders.py "$program" demo-books/*.xlsx

echo "-- quotes"
"$python" tests/outside/quotes.py "$program" demo-books/*.xlsx
