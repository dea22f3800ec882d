#!/usr/bin/env bash
# Restores, checks formatting, builds and runs every test project.
#
#   bash tests/run.sh          what each change must pass
#   bash tests/run.sh long     the same with the long forms of the tests (more seeds, longer sessions)
#
# Needs Debian (or alike) and the .NET SDK that global.json names. As root it installs what the tests start: mosquitto, postgresql, chromium.
# Last line: "N passed, N failed, N skipped" over all projects. Exit code 0 only if tests ran and nothing failed.
set -u -o pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."

export DOTNET_CLI_UI_LANGUAGE=en DOTNET_NOLOGO=1 DOTNET_CLI_TELEMETRY_OPTOUT=1

case "${1-}" in
  "") ;;
  long) export SALTOGRAPH_LONG=1 ;;
  *) echo "Found argument '$1'; allowed: none, or 'long'." >&2; exit 2 ;;
esac

passed=0 failed=0 skipped=0

finish() {
  echo "$passed passed, $failed failed, $skipped skipped"
  [ "$failed" -eq 0 ] && [ "$passed" -gt 0 ]
  exit
}

step() { printf '\n== %s (after %d s)\n' "$1" "$SECONDS"; }

# A step that fails before the tests counts as one failure: the closing line must never look clean after it.
must() {
  "$@" && return
  echo "This step failed and counts as one failure; no test was run: $*"
  failed=$((failed + 1))
  finish
}

# The packages start servers of their own on the default ports, which 'demo' needs: the usual policy file forbids that.
install() {
  export DEBIAN_FRONTEND=noninteractive
  local policy=/usr/sbin/policy-rc.d own_policy=
  if [ ! -e "$policy" ]; then
    own_policy=yes
    printf '#!/bin/sh\nexit 101\n' > "$policy" && chmod +x "$policy"
  fi
  apt-get -qq update && apt-get -qq install -y --no-install-recommends "$1" > /dev/null
  local result=$?
  [ -z "$own_policy" ] || rm -f "$policy"
  return "$result"
}

# need PACKAGE CHECK: the check says whether the tests will find what they start.
need() {
  if "$2"; then
    echo "$1 is there"
  elif [ "$(id -u)" -ne 0 ] || ! command -v apt-get > /dev/null; then
    echo "$1 is missing and only root can install it with apt-get: the tests against it are skipped."
  elif install "$1" && "$2"; then
    echo "$1 was installed"
  else
    echo "$1 could not be installed: the tests against it are skipped."
  fi
}

has_mosquitto() { command -v mosquitto > /dev/null; }
has_chromium() { command -v chromium > /dev/null; }
has_postgresql() { command -v initdb > /dev/null || ls /usr/lib/postgresql/*/bin/initdb > /dev/null 2>&1; }

step "tools"
if ! command -v dotnet > /dev/null; then
  echo "The .NET SDK is missing; global.json names the version."
  must false
fi
export PATH="$PATH:/usr/sbin" # Debian keeps mosquitto there, outside the path of ordinary users
need mosquitto has_mosquitto
need postgresql has_postgresql
need chromium has_chromium

step "restore"
must dotnet restore Saltograph.slnx --verbosity quiet

# Whitespace only: what else 'dotnet format' looks at, the build finds too and fails (EnforceCodeStyleInBuild, warnings as errors), and need not be looked for twice.
step "format"
if dotnet format whitespace . --folder --verify-no-changes; then
  echo "formatting is clean"
else
  echo "Formatting differs (counts as one failure); 'dotnet format whitespace . --folder' puts it right."
  failed=$((failed + 1))
fi

step "build"
must dotnet build Saltograph.slnx --configuration Release --no-restore --verbosity quiet

logs=$(mktemp -d)
trap 'jobs -p | xargs -r kill 2> /dev/null; rm -rf "$logs"' EXIT
table=

# run_tests NAME: into a log of its own, since two run at a time.
run_tests() {
  local started=$SECONDS
  dotnet test --project "tests/$1/$1.csproj" --configuration Release --no-build --no-restore \
    --no-ansi --no-progress 2>&1 | tee "$logs/$1"
  echo "${PIPESTATUS[0]} $((SECONDS - started))" > "$logs/$1.end"
}

count() { sed -n "s/^  $2: \([0-9][0-9]*\)\r\{0,1\}\$/\1/p" "$logs/$1" | tail -n 1; }

# tally NAME: adds what came of it.
tally() {
  local code seconds p f s note=
  read -r code seconds < "$logs/$1.end" || code=1 seconds=0
  p=$(count "$1" succeeded) f=$(count "$1" failed) s=$(count "$1" skipped)
  p=${p:-0} f=${f:-0} s=${s:-0}
  if [ "$code" -ne 0 ] && [ "$f" -eq 0 ]; then
    # 8: no test was found; anything else: the test program ended before its summary.
    [ "$code" -eq 8 ] && note=", no test ran: counts as one failure" || note=", exit code $code: counts as one failure"
    f=1
  fi
  passed=$((passed + p)) failed=$((failed + f)) skipped=$((skipped + s))
  table+=$(printf '%-18s %5d passed %4d failed %4d skipped %5d s%s' "$1" "$p" "$f" "$s" "$seconds" "$note")$'\n'
}

# The tests with browsers take longest, and much of it is waiting for pages: all others run beside them.
behind=Board.Tests
step "test $behind, behind the others"
run_tests "$behind" > /dev/null &
for folder in tests/*.Tests tests/Architecture; do
  name=${folder#tests/}
  [ -f "$folder/$name.csproj" ] && [ "$name" != "$behind" ] || continue
  step "test $name"
  run_tests "$name"
  tally "$name"
done

wait
step "what $behind said"
cat "$logs/$behind"
tally "$behind"

# audit: what the registry knows of our packages. It need not answer: then nothing was audited, and that is said.
audit() {
  local text
  if ! text=$(dotnet list Saltograph.slnx package --vulnerable --include-transitive 2>&1); then
    echo "the registry did not answer: nothing was audited"
  elif grep -q "has the following vulnerable packages" <<< "$text"; then
    echo "$text"
    return 1
  else
    echo "no package that the registry calls vulnerable"
  fi
}

# also NAME COMMAND...: a check that is no test project; counts as one test.
also() {
  local name=$1 started=$SECONDS
  shift
  step "$name"
  if "$@"; then
    passed=$((passed + 1))
    table+=$(printf '%-18s passed %40d s' "$name" "$((SECONDS - started))")$'\n'
  else
    failed=$((failed + 1))
    table+=$(printf '%-18s failed %40d s' "$name" "$((SECONDS - started))")$'\n'
  fi
}

if [ -n "${SALTOGRAPH_LONG-}" ]; then
  also "audit" audit
  also "publish" bash tests/publish.sh
  also "reproducible" bash tests/reproducible.sh
fi

step "results"
printf '%s' "$table"
finish
