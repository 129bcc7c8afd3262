#!/bin/sh
# Makes zoneinfo.zip, the zone data that the binary carries, from the tzdata.zi of a release of the IANA time zone
# database (public domain): sh zoneinfo.sh PATH/tzdata.zi. It needs zic and zip.
set -eu
source=$(realpath "${1:-/usr/share/zoneinfo/tzdata.zi}")
cd "$(dirname "$0")"
made=$(mktemp -d)
trap 'rm -rf "$made"' EXIT
zic -b slim -d "$made" "$source"
rm -f "$made/Factory" zoneinfo.zip
sed -n '1s/^# version //p' "$source" >"$made/+VERSION"
find "$made" -exec touch -d 2020-01-01T00:00:00Z {} +
out=$PWD/zoneinfo.zip
(cd "$made" && find . -type f | sed 's,^\./,,' | LC_ALL=C sort | TZ=UTC zip -q -9 -X -D "$out" -@)
echo "zoneinfo.zip holds $(cat "$made/+VERSION")"
