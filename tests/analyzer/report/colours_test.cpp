#include "analyzer/report/colours.hpp"

#include <algorithm>
#include <array>
#include <catch2/catch.hpp>
#include <cmath>

using namespace paneproof;

namespace {

using Triple = std::array<double, 3>;
using Matrix = std::array<Triple, 3>;

// sRGB to linear light: IEC 61966-2-1 (from memory).
double linear(std::uint8_t part) {
  const double value = part / 255.0;
  return value <= 0.04045 ? value / 12.92 : std::pow((value + 0.055) / 1.055, 2.4);
}

Triple times(const Matrix& m, const Triple& v) {
  Triple out{};
  for (int i = 0; i < 3; ++i)
    for (int k = 0; k < 3; ++k) out[i] += m[i][k] * v[k];
  return out;
}

// Linear sRGB to CIELAB under D65: CIE 15 (from memory).
Triple lab(const Triple& rgb) {
  const Matrix to_xyz = {{{0.4124564, 0.3575761, 0.1804375},
                          {0.2126729, 0.7151522, 0.0721750},
                          {0.0193339, 0.1191920, 0.9503041}}};
  const Triple white = {0.95047, 1.0, 1.08883};
  const Triple xyz = times(to_xyz, rgb);
  Triple f{};
  for (int i = 0; i < 3; ++i) {
    const double t = xyz[i] / white[i];
    f[i] = t > 216.0 / 24389 ? std::cbrt(t) : (24389.0 / 27 * t + 16) / 116;
  }
  return {116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])};
}

// Colour vision without one kind of cone, in linear light: Machado, Oliveira and Fernandes, "A
// Physiologically-based Model for Simulation of Color Vision Deficiency", 2009, severity 1.0.
const Matrix full_sight = {{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}};
const Matrix deuteranopia = {
    {{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}}};
const Matrix protanopia = {
    {{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}}};
const Matrix tritanopia = {
    {{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}}};

Triple seen(const Colour& colour, const Matrix& sight) {
  Triple rgb = times(sight, {linear(colour.red), linear(colour.green), linear(colour.blue)});
  for (double& part : rgb) part = std::clamp(part, 0.0, 1.0);
  return lab(rgb);
}

// CIE 1976 colour difference: the distance in CIELAB.
double difference(const Triple& a, const Triple& b) {
  return std::hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
}

const std::array<Colour, 5> grounds = {colours::proven, colours::silent, colours::intermittent,
                                       colours::unswept, colours::masked};

}  // namespace

TEST_CASE("the states can be told apart by colour-blind readers") {
  // A difference of 2.3 is just noticeable (Mahy et al. 1994, from memory); we ask for several times as much.
  for (const Matrix& sight : {full_sight, deuteranopia, protanopia, tritanopia})
    for (std::size_t a = 0; a < 4; ++a)
      for (std::size_t b = 0; b < a; ++b) {
        CAPTURE(a, b);
        CHECK(difference(seen(grounds[a], sight), seen(grounds[b], sight)) > 15);
      }
}

TEST_CASE("fault marks stand out on every ground, whoever looks") {
  for (const Matrix& sight : {full_sight, deuteranopia, protanopia, tritanopia})
    for (const Colour& ground : grounds)
      CHECK(difference(seen(colours::fault, sight), seen(ground, sight)) > 25);
}

TEST_CASE("the map of evidence takes equal steps and darkens all the way") {
  const Triple proven = seen(colours::proven, full_sight), middle = seen(colours::intermittent, full_sight),
               silent = seen(colours::silent, full_sight);
  CHECK(difference(proven, middle) == Approx(difference(middle, silent)).epsilon(0.03));
  // On one straight line: the way by the middle is no longer than the way itself.
  CHECK(difference(proven, middle) + difference(middle, silent) ==
        Approx(difference(proven, silent)).epsilon(0.01));
  CHECK(proven[0] > middle[0] + 20);
  CHECK(middle[0] > silent[0] + 20);
}

TEST_CASE("words on the verdict's ground are readable") {
  // WCAG 2, success criterion 1.4.3: 3 to 1 for large lettering, 4.5 to 1 for any (from memory).
  const auto luminance = [](const Colour& c) {
    return 0.2126 * linear(c.red) + 0.7152 * linear(c.green) + 0.0722 * linear(c.blue);
  };
  const auto contrast = [&](const Colour& a, const Colour& b) {
    const double light = std::max(luminance(a), luminance(b)), dark = std::min(luminance(a), luminance(b));
    return (light + 0.05) / (dark + 0.05);
  };
  for (const Outcome outcome : {Outcome::pass, Outcome::fail, Outcome::resweep})
    CHECK(contrast(colours::of(outcome), colours::page) > 4.5);
  CHECK(contrast(colours::ink, colours::page) > 4.5);
  CHECK(contrast(colours::quiet_ink, colours::page) > 4.5);
}
