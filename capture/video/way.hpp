// How a thing went, picture by picture: its rests, its straight ways, its turns and its size. What a let-go
// is told by (let_go.hpp).
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "capture/video/follow.hpp"

namespace paneproof::video {

constexpr double still_px = 0.8;

// First sample of the rest that the track ends with.
std::size_t rest_start(const std::vector<Sample>& s, std::size_t from);

// px/s over about 60 ms before sample i.
double speed_before(const std::vector<Sample>& s, std::size_t i, std::size_t from);

// Went it from sample i to sample `last` nowhere but straight to where it lies at the end?
bool straight_to_rest(const std::vector<Sample>& s, std::size_t i, std::size_t last);

// Of the few samples up to `last`, the one after which the way turns or quickens most: a glide and a change
// of size begin softly, so both are seen a few frames late.
std::size_t turning_point(const std::vector<Sample>& s, std::size_t last, std::size_t from);

// A thing that lay at rest when it began to glide was let go at the end of that rest: from there on it went
// nowhere but straight to where it lies at the end. Nothing when it moved otherwise.
std::optional<std::size_t> end_of_rest(const std::vector<Sample>& s, std::size_t last, std::size_t from,
                                       std::int64_t lay_us = 90'000);

// The last sample with the size it had while held, before it went to `rest_size`.
std::size_t last_of_size(const std::vector<Sample>& s, std::size_t from, double held, double rest_size);

// What its end after sample `last` was: in full motion a drop, after a rest a release.
LetGo::Kind kind_at(const std::vector<Sample>& s, std::size_t last, std::size_t from, double width);

}  // namespace paneproof::video
