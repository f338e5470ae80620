// RFC 8785's own samples (sections 3.2.2 to 3.2.4 and appendix B), as other implementations' tests quote
// them; the npm package canonicalize agrees.
#include "analyzer/evidence/canonical_json.hpp"

#include <bit>
#include <catch2/catch.hpp>
#include <cstdlib>
#include <random>

#include "analyzer/evidence/base64url.hpp"
#include "capture/model/input_error.hpp"

using namespace paneproof;

TEST_CASE("numbers are written as ECMAScript writes them") {
  const std::pair<std::uint64_t, const char*> published[] = {
      // RFC 8785, appendix B
      {0x0000000000000000, "0"},
      {0x8000000000000000, "0"},
      {0x0000000000000001, "5e-324"},
      {0x8000000000000001, "-5e-324"},
      {0x7fefffffffffffff, "1.7976931348623157e+308"},
      {0xffefffffffffffff, "-1.7976931348623157e+308"},
      {0x4340000000000000, "9007199254740992"},
      {0xc340000000000000, "-9007199254740992"},
      {0x4430000000000000, "295147905179352830000"},
      {0x44b52d02c7e14af5, "9.999999999999997e+22"},
      {0x44b52d02c7e14af6, "1e+23"},
      {0x44b52d02c7e14af7, "1.0000000000000001e+23"},
      {0x444b1ae4d6e2ef4e, "999999999999999700000"},
      {0x444b1ae4d6e2ef4f, "999999999999999900000"},
      {0x444b1ae4d6e2ef50, "1e+21"},
      {0x3eb0c6f7a0b5ed8c, "9.999999999999997e-7"},
      {0x3eb0c6f7a0b5ed8d, "0.000001"},
      {0x41b3de4355555553, "333333333.3333332"},
      {0x41b3de4355555554, "333333333.33333325"},
      {0x41b3de4355555555, "333333333.3333333"},
      {0x41b3de4355555556, "333333333.3333334"},
      {0x41b3de4355555557, "333333333.33333343"},
      {0xbecbf647612f3696, "-0.0000033333333333333333"},
      {0x43143ff3c1cb0959, "1424953923781206.2"}};
  for (const auto& [bits, text] : published) CHECK(canonical_number(std::bit_cast<double>(bits)) == text);
}

TEST_CASE("every written number reads back as itself") {
  const unsigned seed = 20785;
  INFO("seed " << seed);
  std::mt19937_64 random(seed);
  for (int i = 0; i < 20000; ++i) {
    const double value = std::bit_cast<double>(random());
    if (std::isfinite(value)) REQUIRE(std::strtod(canonical_number(value).c_str(), nullptr) == value);
  }
}

TEST_CASE("a number that is not finite is refused") {
  CHECK_THROWS_AS(canonical_number(std::bit_cast<double>(0x7ff0000000000000)), InputError);
  CHECK_THROWS_AS(canonical_number(std::bit_cast<double>(0x7fffffffffffffff)), InputError);
}

TEST_CASE("the published sample gives the published bytes") {
  const auto value =
      strict_json(R"({"numbers":[333333333.33333329,1E30,4.50,2e-3,0.000000000000000000000000001],
    "string":"\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/","literals":[null,true,false]})",
                  "");
  const std::string text = canonical_json(value);
  CHECK(text ==
        "{\"literals\":[null,true,false],\"numbers\":[333333333.3333333,1e+30,4.5,0.002,1e-27],"
        "\"string\":\"\u20ac$\\u000f\\nA'B\\\"\\\\\\\\\\\"/\"}");
  CHECK(text.size() == 118);
}

TEST_CASE("keys stand in the order of their UTF-16 code units") {  // section 3.2.3
  const auto value =
      strict_json(R"({"\u20ac":"Euro Sign","\r":"Carriage Return","\ufb33":"Hebrew Letter Dalet With Dagesh",
    "1":"One","\ud83d\ude00":"Emoji: Grinning Face","\u0080":"Control","\u00f6":"Latin Small Letter O With Diaeresis"})",
                  "");
  const std::string text = canonical_json(value);
  std::size_t last = 0;
  for (const char* word : {"Carriage", "One", "Control", "Latin", "Euro", "Emoji", "Hebrew"}) {
    INFO(word);
    CHECK(text.find(word) > last);
    last = text.find(word);
  }
}

TEST_CASE("a key that comes twice is refused") {
  CHECK_THROWS_AS(strict_json(R"({"a":1,"a":1})", "f"), InputError);
  CHECK_THROWS_AS(strict_json(R"({"b":{"a":1,"\u0061":2}})", "f"), InputError);
  CHECK_NOTHROW(strict_json(R"([{"a":1},{"a":1}])", "f"));
}

TEST_CASE("only the canonical spelling passes where it is asked for") {
  CHECK_NOTHROW(canonical_only(R"({"a":1,"b":"x"})", "f"));
  for (const char* other : {R"({"a": 1})", R"({"b":1,"a":1})", R"({"a":1.0})", R"({"a":1e0})",
                            R"({"a":"\u0041"})", R"({"a":1} )", R"({"a":1,"a":1})"})
    CHECK_THROWS_AS(canonical_only(other, "f"), InputError);
}

TEST_CASE("nesting without end is refused") {
  CHECK_THROWS_AS(strict_json(std::string(30000, '['), "f"), InputError);
}

TEST_CASE("base64url has one spelling for a value") {
  CHECK(base64url("\x03\xec\xff\xe0\xc1") == "A-z_4ME");  // RFC 7515, appendix C
  CHECK(from_base64url("A-z_4ME") == "\x03\xec\xff\xe0\xc1");
  for (const char* other : {"A-z_4MF", "A-z_4ME=", "A+z/4ME", "A-z_4", "A-z_ 4ME"})
    CHECK_FALSE(from_base64url(other));
}
