// The page's files, built into the program.
#pragma once

#include <string_view>

namespace paneproof {

struct PageFile {
  std::string_view type, text;
};

PageFile page_html();
PageFile page_js();
PageFile page_css();

}  // namespace paneproof
