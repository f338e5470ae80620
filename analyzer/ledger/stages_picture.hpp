// The stages of a job side by side, one scale, and under each but the first the difference to the one
// before it.
#pragma once

#include "analyzer/ledger/story.hpp"
#include "analyzer/report/picture.hpp"

namespace paneproof {

// The last six sweeps at most. `stages` is not empty.
Picture stages_picture(const std::vector<StageResult>& stages, const std::string& job);

}  // namespace paneproof
