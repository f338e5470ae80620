#include "capture/model/trace.hpp"

#include <catch2/catch.hpp>

#include "capture/model/input_error.hpp"

using namespace paneproof;

namespace {

constexpr std::size_t most = std::size_t{1} << 23;

}  // namespace

TEST_CASE("a log without end is refused before its reports fill the memory") {
  RecordingBuilder builder;
  const auto contact = builder.land();
  const auto add = [&](std::size_t i) {
    builder.report(contact, static_cast<std::int64_t>(i), static_cast<double>(i), 0);
  };
  for (std::size_t i = 0; i < most; ++i) add(i);
  CHECK(builder.report_count() == most);
  CHECK_THROWS_AS(add(most), InputError);
}

TEST_CASE("contacts without end are refused too") {
  RecordingBuilder builder;
  for (std::size_t i = 0; i < most; ++i) builder.land();
  CHECK_THROWS_AS(builder.land(), InputError);
}
