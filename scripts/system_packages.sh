#!/bin/sh
# Installs Debian's Chromium and PDF tools where they are missing; the browser and PDF tests need them.
set -eu
missing=""
command -v chromium >/dev/null 2>&1 || missing="$missing chromium"
command -v pdftoppm >/dev/null 2>&1 || missing="$missing poppler-utils"
[ -z "$missing" ] && exit 0
if ! command -v apt-get >/dev/null 2>&1; then
    echo "please install:$missing" >&2
    exit 1
fi
run=""
[ "$(id -u)" = 0 ] || run="sudo"
$run apt-get update -qq
# shellcheck disable=SC2086
DEBIAN_FRONTEND=noninteractive $run apt-get install -y -qq --no-install-recommends $missing >/dev/null
