#!/usr/bin/env bash
# Publishes the service into a temporary folder and runs the program from there, in another working directory.
# Exit code 0 when that works.
set -eu -o pipefail
root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT

dotnet publish -c Release "$root/src/Service" -o "$folder/app" --verbosity quiet
cd "$folder"
version=$(./app/saltograph --version)
echo "version $version"

# Two seconds of standing still, 100 Hz: read, analysed, no jump.
{
  echo "time_s,acc_x_mps2,acc_y_mps2,acc_z_mps2,gyr_x_radps,gyr_y_radps,gyr_z_radps"
  for i in $(seq 0 199); do printf '%d.%02d,0,0,9.81,0,0,0\n' $((i / 100)) $((i % 100)); done
} > still.csv
./app/saltograph analyse --trunk still.csv --output jumps.jsonl > /dev/null
[ -f jumps.jsonl ] && [ ! -s jumps.jsonl ]
echo "the published program runs"
grep -q '"bomFormat": *"CycloneDX"' app/saltograph.cdx.json
grep -q '"name": *"MQTTnet"' app/saltograph.cdx.json
echo "its bill of materials lists $(grep -c '"purl"' app/saltograph.cdx.json) packages"
