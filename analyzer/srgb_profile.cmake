# Writes OUT: the bytes of the ICC profile IN, as a function.
file(READ ${IN} digits HEX)
string(REGEX REPLACE "(..)" "0x\\1," bytes "${digits}")
file(WRITE ${OUT} "#include \"analyzer/evidence/pdf_parts.hpp\"

namespace {
constexpr unsigned char bytes[] = {${bytes}};
}

std::string_view paneproof::srgb_profile() { return {reinterpret_cast<const char*>(bytes), sizeof bytes}; }
")
