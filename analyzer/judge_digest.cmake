# Writes OUT: the digest of every source file that reads, measures, judges or draws (FILES), as a function.
set(all "")
foreach(file ${FILES})
  file(SHA256 ${file} digest)
  string(APPEND all "${digest}\n")
endforeach()
string(SHA256 digest "${all}")
string(SUBSTRING ${digest} 0 32 digest)
file(CONFIGURE OUTPUT ${OUT} CONTENT "#include \"analyzer/evidence/judged.hpp\"\n
const char* paneproof::judge_digest() { return \"${digest}\"; }\n")
