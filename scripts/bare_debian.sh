#!/usr/bin/env bash
# Try a clean clone in a Debian that has only python3: no pip, no make, no venv module.
#
#   scripts/bare_debian.sh FOLDER "python3 run.py setup" "python3 run.py test"
#
# FOLDER is made by debootstrap if it is not there, and stays for the next try; only the
# clone in it is new each time. Needs root, git and debootstrap. This machine's package
# sources, pip settings and certificates are lent to it.
set -euo pipefail

folder=$(realpath -m "$1")
shift
project=$(cd "$(dirname "$0")/.." && pwd)

if [ ! -x "$folder/bin/sh" ]; then
    debootstrap --variant=minbase bookworm "$folder" http://deb.debian.org/debian
    rm -f "$folder"/etc/apt/sources.list
    cp /etc/apt/sources.list.d/debian.sources "$folder"/etc/apt/sources.list.d/
    chroot "$folder" apt-get update -qq
    chroot "$folder" apt-get install -y -qq --no-install-recommends python3 ca-certificates
fi

cp -L /etc/ssl/certs/ca-certificates.crt "$folder"/etc/ssl/certs/
cp /etc/resolv.conf /etc/hosts "$folder"/etc/
if [ -f /etc/pip.conf ]; then cp /etc/pip.conf "$folder"/etc/; fi

for place in proc sys dev; do
    mountpoint -q "$folder/$place" || mount --rbind "/$place" "$folder/$place"
done
release() { for place in dev sys proc; do umount -R -l "$folder/$place"; done; }
trap release EXIT

rm -rf "$folder/srv/project"
git clone -q "$project" "$folder/srv/project"
for command in "$@"; do
    echo "=== $command"
    started=$SECONDS
    chroot "$folder" env -i HOME=/root PATH=/usr/sbin:/usr/bin:/sbin:/bin \
        sh -c "cd /srv/project && $command"
    echo "=== $((SECONDS - started)) s: $command"
done
