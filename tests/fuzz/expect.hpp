// What must hold for any input, whatever its bytes. A promise that is broken stops the fuzzer as a crash
// does, with the promise on standard error.
#pragma once

#include <string_view>

#include "capture/model/input_error.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

void expect(bool held, const char* promise);

// Reports stand by contact and in order of time, at finite places; every contact has some.
void expect_sound(const Recording& recording);

// One clear line: an exit code of sysexits.h that bytes can cause, and no control character.
void expect_sound(const InputError& error);

// No difference but in the source facts.
bool same(const Recording& a, const Recording& b);

inline std::string_view text(const unsigned char* data, std::size_t size) {
  return {reinterpret_cast<const char*>(data), size};
}

}  // namespace paneproof
