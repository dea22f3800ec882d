#!/usr/bin/env bash
# Builds the service twice, each time from a fresh clone in the same place, and compares what comes out, byte for byte.
# In the same place, because the compiler of the pages writes their path into the symbols of Board; the container image has one place too.
# Exit code 0 when our assemblies and their symbols are the same.
set -eu -o pipefail
root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
export CI=true DOTNET_CLI_UI_LANGUAGE=en DOTNET_NOLOGO=1 MSBUILDDISABLENODEREUSE=1

for time in first second; do
  rm -rf "$folder/source"
  git clone --quiet --no-local "$root" "$folder/source"
  dotnet build "$folder/source/src/Service" --configuration Release --verbosity quiet -p:UseSharedCompilation=false > "$folder/log" || { cat "$folder/log"; exit 1; }
  (cd "$folder/source/src/Service/bin/Release/net10.0" && sha256sum saltograph.dll saltograph.pdb Saltograph.*.dll Saltograph.*.pdb) > "$folder/$time"
done

if diff "$folder/first" "$folder/second"; then
  echo "two builds of $(git -C "$root" rev-parse --short HEAD): $(wc -l < "$folder/first") files, all the same"
else
  echo "The two builds differ in the files above."
  exit 1
fi
