// What an interview asks of an opened book (advise/interview.h), the same for every front end.
#pragma once

#include "engine/advise/interview.h"
#include "engine/api/book.h"

namespace gearwhy {

// Cases are read into `sources`; both must outlive the host. No name is taken: what cases there are only the
// caller knows.
InterviewHost HostOf(const Book& book, Sources& sources);

}  // namespace gearwhy
