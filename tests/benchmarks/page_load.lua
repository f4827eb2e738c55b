-- Answers into open cases, each with the version of the page's own script. Used by bench_page.py.
-- Environment: CASES (how many), SYMPTOMS (with blanks between), LEAST_MS and MOST_MS of thinking;
-- LEAST_MS above MOST_MS: no thinking, but all at once every LEAST_MS.
local cases = tonumber(os.getenv("CASES"))
local least, most = tonumber(os.getenv("LEAST_MS")), tonumber(os.getenv("MOST_MS"))
local symptoms = {}
for s in os.getenv("SYMPTOMS"):gmatch("%S+") do symptoms[#symptoms + 1] = s end
local n = 0

local ffi = require("ffi")
ffi.cdef [[ typedef struct { long s; long us; } moment; int gettimeofday(moment *m, void *zone); ]]
local now = ffi.new("moment[1]")

function delay()
  if most == 0 then return 0 end
  if least > most then -- all at the same moment, every `least` milliseconds
    ffi.C.gettimeofday(now, nil)
    local ms = tonumber(now[0].s) * 1000 + tonumber(now[0].us) / 1000
    return math.ceil(least - ms % least)
  end
  return math.random(least, most)
end

-- every case is answered through the list, then the answers are taken back one by one
function request()
  local case, visit = n % cases, math.floor(n / cases)
  n = n + 1
  local symptom = symptoms[visit % #symptoms + 1]
  local said = (visit % 3 == 0) and "yes" or "no"
  local state, was = said, ""
  if math.floor(visit / #symptoms) % 2 == 1 then
    said = ((visit - #symptoms) % 3 == 0) and "yes" or "no"
    state, was = "", said
  end
  local body = "symptom=" .. symptom .. "&state=" .. state .. "&was=" .. was
  local headers = { ["Content-Type"] = "application/x-www-form-urlencoded", ["X-Part"] = "1" }
  return wrk.format("POST", "/cases/load-" .. case .. "/answers", headers, body)
end

wrong = 0
local threads = {}
function setup(thread) threads[#threads + 1] = thread end
function response(status) if status ~= 200 then wrong = wrong + 1 end end

function done(summary, latency)
  local w = 0
  for _, t in ipairs(threads) do w = w + t:get("wrong") end
  local e = summary.errors
  io.write(string.format(
    "RESULT requests=%d seconds=%.2f p50=%.1f p95=%.1f p99=%.1f max=%.1f wrong=%d broken=%d\n",
    summary.requests, summary.duration / 1e6, latency:percentile(50) / 1e3,
    latency:percentile(95) / 1e3, latency:percentile(99) / 1e3, latency.max / 1e3, w,
    e.connect + e.read + e.write + e.timeout))
end
