# packages.sh: the Debian and Ubuntu packages that start and check stand on, and how they come onto the machine.
# Knows names only. A name with bars is a choice: one of them suffices, the first that apt knows is taken.
# Sourced by bash; asks dpkg's own list, so nothing touches the network unless something is missing.

packages_build='gcc libc6-dev meson ninja-build pkg-config libglib2.0-dev libjansson-dev libsqlite3-dev
  libmicrohttpd-dev libsodium-dev libarchive-dev nodejs brotli'
# Debian's npm is a package of its own; a nodejs from elsewhere brings it along.
command -v npm >/dev/null || packages_build+=' npm'
packages_check='clang lld libclang-rt-dev|libclang-rt-18-dev|libclang-rt-14-dev clang-format libcmocka-dev libmpfr-dev nodejs
  postgresql gcovr python3-numpy python3-scipy python3-jsonschema r-base-core r-cran-survival'
# Ubuntu's is a snap, which containers cannot run: tests/browser/run takes one that is there, or says that it left the tests out.
grep -qs '^ID=ubuntu' /etc/os-release || packages_check+=' chromium'

package_is_here() { # name
    [ "$(dpkg-query -W -f='${db:Status-Status}' "$1" 2>/dev/null)" = installed ]
}

choice_is_here() { # name|name|...
    local name
    for name in ${1//|/ }; do package_is_here "$name" && return; done
    return 1
}

choice_known_to_apt() { # name|name|...: prints the one to install
    local name
    for name in ${1//|/ }; do apt-cache show "$name" >/dev/null 2>&1 && break; done
    echo "$name"
}

# Installs what is missing of the given names. Fails with one sentence.
need_packages() { # names...
    local choice missing=() names=() as_root=() log
    if ! command -v dpkg-query >/dev/null; then
        echo "apt is not on this system: install the counterparts of these packages by its own means if the build asks for them: $*" >&2
        return 0
    fi
    for choice; do choice_is_here "$choice" || missing+=("$choice"); done
    [ ${#missing[@]} = 0 ] && return 0

    if [ "$(id -u)" != 0 ]; then
        command -v sudo >/dev/null || { echo "apt needs root, and sudo is not here: as root, install ${missing[*]}" >&2; return 1; }
        as_root=(sudo)
    fi
    log=$(mktemp)
    "${as_root[@]}" apt-get -qq -o DPkg::Lock::Timeout=300 update >"$log" 2>&1 </dev/null
    for choice in "${missing[@]}"; do names+=("$(choice_known_to_apt "$choice")"); done
    echo "installing ${names[*]}"
    if ! "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get -qq -y -o DPkg::Lock::Timeout=300 \
            install --no-install-recommends "${names[@]}" >>"$log" 2>&1 </dev/null; then
        echo "apt could not install ${names[*]}: $(grep -m1 '^E:' "$log" || echo "see $log")" >&2
        return 1
    fi
    rm "$log"
}
