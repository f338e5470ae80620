// Which contact of the last frame is which of this one, where a device tells no ids (kernel protocol A:
// the order of the packets means nothing).
//
// Rule: of all ways to pair the two frames' contacts, the one with the least sum of squared distances
// (optimal, not greedy), as the kernel document asks of user space for anonymous contacts ("Finger
// tracking": minimal Euclidean bipartite matching). A pair farther apart than the gate is no pair: one
// lifted and another landed.
#pragma once

#include <vector>

namespace paneproof {

struct Place {
  double x = 0, y = 0;
};

// For each place of `now` the index of its partner in `before`, or -1. Exact; cost n^2 m (contacts are
// few). `gate` in the places' units; infinity for none.
std::vector<int> nearest_pairing(const std::vector<Place>& before, const std::vector<Place>& now,
                                 double gate);

}  // namespace paneproof
