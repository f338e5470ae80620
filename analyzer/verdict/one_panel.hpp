// Are several sweeps sweeps of one panel? Judged together they prove for each other what each alone does not,
// so a log of another panel among them would prove what no finger tested.
#pragma once

#include <vector>

#include "capture/model/notes.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

// Adds a sweep to those that are judged together. Throws InputError (65) where it is the same as an earlier
// one or its panel has another size; notes a touch device of another name than the first named one has.
void add_sweep(std::vector<Trace>& sweeps, Trace&& next, Notes& notes);

}  // namespace paneproof
