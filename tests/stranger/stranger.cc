// The rulebook from another program, which knows the one header that is installed: argv is a folder and a
// case.
#include <fstream>
#include <iostream>
#include <sstream>

#include "engine/api/gearwhy.h"

int main(int, char** argv) {
  std::stringstream text;
  text << std::ifstream(argv[2]).rdbuf();
  const auto book = gearwhy::api::Book::Open({argv[1]});
  if (!book) return 1;
  const auto c = book->ReadCase(text.str(), "");
  if (!c) return 1;
  for (const auto& suspect : book->Diagnose(*c)->Rank().suspects)
    std::cout << suspect.chance << " " << suspect.says << "\n";
}
