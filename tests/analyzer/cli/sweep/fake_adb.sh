#!/bin/sh
# A made-up adb: answers what `paneproof sweep --adb` asks, and plays the recorded lines in FAKE_ADB_LOG.
# FAKE_ADB_DEVICES=none: no device. The words of getevent -lp are as samples/good-handheld.getevent.gz has them.
[ "${FAKE_ADB_DEVICES-}" = none ] && { echo "adb: no devices/emulators found" >&2; exit 1; }
if [ "$1" = -s ]; then [ "$2" = KY-17 ] || { echo "adb: device '$2' not found" >&2; exit 1; }; shift 2; fi
case "$*" in
  "shell getevent -lp") sed -n '/^add device/,/^\[/p' "$FAKE_ADB_LOG" | grep -v '^\[' ;;
  "shell wm size") echo "Physical size: 1080x2255" ;;
  "shell wm density") echo "Physical density: 403"; echo "Override density: 360" ;;
  "shell -tt getevent -lt /dev/input/event"*) sed -n 's/$/\r/; /^\[/p' "$FAKE_ADB_LOG"; [ "${FAKE_ADB_STAYS-}" ] && sleep "$FAKE_ADB_STAYS"; exit 0 ;;
  *) echo "fake adb: not known: $*" >&2; exit 1 ;;
esac
