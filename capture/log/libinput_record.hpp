// libinput-record recordings (libinput-record(1), "FILE FORMAT"): YAML with one or several devices, each
// with its description and its kernel events in decimal. Read event by event of the YAML parser, so no
// document is ever in memory; keys that are not known are ignored, as that page asks for.
#pragma once

#include "capture/log/reader.hpp"

namespace paneproof {

const Format& libinput_record_format();

}  // namespace paneproof
