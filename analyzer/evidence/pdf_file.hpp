// The evidence file as a PDF (ISO 32000-1, with the associated files of PDF/A-3): the drawn pages, the
// attachments, and the slot for the statement. One layout: a header, objects 1 to N in order, one table,
// one trailer, and nothing else, so that every byte of it has one right value.
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "analyzer/evidence/judged.hpp"
#include "analyzer/evidence/pdf_value.hpp"

namespace paneproof {

inline constexpr const char* statement_name = "statement.jws";
inline constexpr std::size_t smallest_spare = 512, largest_slot = 1 << 18;

struct PdfFacts {
  std::string title, subject, time;       // time: RFC 3339
  std::vector<std::string> figure_words;  // alternative text, one a figure in order
  std::string id_hex;                     // 32 digits
};

struct PdfFile {
  std::string bytes;  // the slot is filled with spaces
  std::size_t slot_at = 0, slot_size = 0;
};

// `drawn` is what Cairo wrote.
PdfFile pdf_file(const std::string& drawn, const PdfFacts& facts, const std::vector<Part>& parts,
                 std::size_t slot_size);

// A read evidence file. Views into the bytes that were read.
struct PdfLayout {
  std::map<std::size_t, PdfObject> objects;
  struct Attachment {
    std::string name;
    std::string_view stored;
    bool packed = false;  // FlateDecode
  };
  std::vector<Attachment> attachments;  // the statement is the last
  std::size_t slot_at = 0, slot_size = 0;
};

// Does the file look like (a spoilt copy of) an evidence file at all?
bool may_be_evidence(std::string_view bytes);

// Reads the layout and holds the file to the profile; unpacks nothing. Throws InputError (65).
PdfLayout read_layout(std::string_view bytes);

// The bytes of an attachment, which must be of exactly this size. Throws InputError (65).
std::string unpacked(const PdfLayout::Attachment& attachment, std::size_t size);

}  // namespace paneproof
