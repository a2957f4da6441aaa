// Command line: what the program understands, and which command is then run.
//
// In: the words of the command line. Out: the exit code of the command, after it has run; of words that are not
// understood, kBadCommand, after saying on stderr what is wrong with them.
#pragma once

namespace gearwhy {

int RunCommandLine(int argc, char** argv);

}  // namespace gearwhy
