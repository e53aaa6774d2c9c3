#include "helper.hpp"
#include <boost/version.hpp>
#include <unistd.h>
#include <vlm/tools/stray.hpp>
