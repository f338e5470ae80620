// The path in a recording as CSV: t_s,contact,x_mm,y_mm,sd_mm. A row for every frame in which something is
// held and its place is known; none after it was let go. Contacts are numbered from 1, one a grab.
#pragma once

#include <functional>
#include <string_view>

#include "capture/model/trace.hpp"

namespace paneproof {

void write_path_csv(const Trace& trace, const std::function<void(std::string_view)>& sink);

}  // namespace paneproof
