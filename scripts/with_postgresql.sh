#!/usr/bin/env bash
# Runs a command with HOISTBOOK_TEST_POSTGRESQL set, on a PostgreSQL server of its own that lives in a temporary folder,
# listens on a free port of the loopback address, and is gone afterwards. Where the variable is set already, or no server
# can be started, the command is run as it is; tests on PostgreSQL then say that they are skipped.
#
#   scripts/with_postgresql.sh make test
set -euo pipefail

run_without() {
    local why=$1
    shift
    echo "PostgreSQL: $why; tests on it are skipped" >&2
    exec "$@"
}

[ -z "${HOISTBOOK_TEST_POSTGRESQL:-}" ] || exec "$@"
bin=$({ ls -d /usr/lib/postgresql/*/bin 2>/dev/null || true; } | sort -V | tail -1)
[ -n "$bin" ] || bin=$(dirname "$(command -v initdb || echo none/initdb)")
[ -x "$bin/initdb" ] || run_without "no server is installed (Debian: apt-get install postgresql)" "$@"

as_server=()
if [ "$(id -u)" = 0 ]; then # the server refuses to run as root
    id postgres >/dev/null 2>&1 || run_without "there is no user postgres to run it" "$@"
    as_server=(runuser -u postgres --)
fi

folder=$(mktemp -d)
[ "$(id -u)" != 0 ] || chown postgres "$folder"
stop() {
    "${as_server[@]}" "$bin/pg_ctl" -D "$folder/data" -m immediate -w stop >/dev/null 2>&1 || true
    rm -rf "$folder"
}
trap stop EXIT

port=$(python3 -c 'import socket; s = socket.socket(); s.bind(("127.0.0.1", 0)); print(s.getsockname()[1])')
# Nothing in it outlives the command, so nothing waits for the disk.
options="-p $port -h 127.0.0.1 -k $folder -c fsync=off -c synchronous_commit=off -c full_page_writes=off"
if (
    cd "$folder"
    "${as_server[@]}" "$bin/initdb" -D "$folder/data" -U postgres -A trust -E UTF8 --locale=C >"$folder.log" 2>&1 &&
        "${as_server[@]}" "$bin/pg_ctl" -D "$folder/data" -w -l "$folder/server.log" -o "$options" start >>"$folder.log" 2>&1
); then
    rm -f "$folder.log"
    HOISTBOOK_TEST_POSTGRESQL=postgresql://postgres@127.0.0.1:$port "$@"
else
    cat "$folder.log" >&2
    rm -f "$folder.log"
    echo "PostgreSQL: the server did not start; tests on it are skipped" >&2
    "$@"
fi
