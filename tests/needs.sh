# Tools that a step needs beyond rustup's Rust, a C compiler and curl. Sourced by tests/run.
#
# need COMMAND... makes sure that each command is there: as root or by sudo it installs the
# Debian package that brings it; otherwise it prints the exact line to run and ends the run
# with 2. Nothing is skipped silently.

package_of() {
  case $1 in
    cc) echo gcc libc6-dev ;;
    python3-venv) echo python3-venv ;;
    postgres) echo postgresql ;;
    node) echo nodejs ;;
    *) echo "$1" ;; # jq, curl, git, python3, npm, chromium: the package is named as the command
  esac
}

present() {
  case $1 in
    python3-venv) python3 -c 'import ensurepip, venv' 2>/dev/null ;;
    postgres) compgen -G '/usr/lib/postgresql/*/bin/initdb' >/dev/null || command -v initdb >/dev/null ;;
    *) command -v "$1" >/dev/null ;;
  esac
}

need() {
  local missing=() name
  for name in "$@"; do
    present "$name" || missing+=($(package_of "$name"))
  done
  [ ${#missing[@]} -gt 0 ] || return 0
  local install="apt-get install -y --no-install-recommends ${missing[*]}"
  local root=()
  if [ "$(id -u)" -ne 0 ]; then
    root=(sudo -n)
    sudo -n true 2>/dev/null || give_up "$install"
  fi
  command -v apt-get >/dev/null || give_up "$install"
  echo "installing ${missing[*]}"
  case " ${missing[*]} " in *" postgresql "*) no_default_cluster "${root[@]}" ;; esac
  "${root[@]}" apt-get update -qq >/dev/null &&
    "${root[@]}" env DEBIAN_FRONTEND=noninteractive $install -qq >/dev/null ||
    give_up "$install"
  for name in "$@"; do
    present "$name" || give_up "$install"
  done
}

# The tests start a private PostgreSQL of their own; Debian must not start a default cluster.
no_default_cluster() {
  "$@" mkdir -p /etc/postgresql-common/createcluster.d
  echo 'create_main_cluster = false' |
    "$@" tee /etc/postgresql-common/createcluster.d/no-main.conf >/dev/null
}

give_up() {
  echo "Something that the tests need is missing. Run this, then tests/run again:" >&2
  echo "  sudo apt-get update && sudo $1" >&2
  exit 2
}

# rustup is not a Debian package on every release, so it is asked for and never installed.
need_rust() {
  command -v cargo >/dev/null && return 0
  [ ! -x "$HOME/.cargo/bin/cargo" ] || { PATH="$HOME/.cargo/bin:$PATH" && return 0; }
  echo "Rust is missing. Run this, then tests/run again:" >&2
  echo "  curl --proto '=https' --tlsv1.2 -sSf https://sh.rustup.rs | sh -s -- -y" >&2
  exit 2
}

# python_at FOLDER LOCK: a Python environment from a lock file with hashes, made anew when the lock
# or the interpreter changes.
python_at() {
  local folder=$1 lock=$2 stamp
  need python3 python3-venv
  stamp=$(python3 --version && sha256sum "$lock")
  if [ "$(cat "$folder/made-from" 2>/dev/null)" != "$stamp" ]; then
    echo "making $folder"
    rm -rf "$folder"
    python3 -m venv "$folder"
    "$folder/bin/pip" install --quiet --disable-pip-version-check --require-hashes \
      --only-binary :all: -r "$lock"
    echo "$stamp" >"$folder/made-from"
  fi
}

# The outside references of the tests.
need_python() { python_at tests/.venv tests/python/requirements.lock; }

# The peers of tests/bench/peers, which no test needs.
need_peers() { python_at tests/.venv-peers tests/python/peers.lock; }

# Chromium, and the packages that drive it, from a lock file with hashes. They are fetched anew
# when the lock or Node changes.
need_browser() {
  need chromium node npm
  local folder=tests/browser stamp
  stamp=$(node --version && sha256sum "$folder/package-lock.json")
  if [ "$(cat $folder/node_modules/made-from 2>/dev/null)" != "$stamp" ]; then
    echo "making $folder/node_modules"
    npm ci --prefix "$folder" --ignore-scripts --no-audit --no-fund --silent
    echo "$stamp" >$folder/node_modules/made-from
  fi
}
