-- Reads lines of one board; writes nothing.
-- KEYS 1 the board, 2 the date's results
-- ARGV 1 low, 2 high, 3 how many of the first lines (0 all, -1 none), 4 a member to look around, or '',
--      5 how many others around them, 6 PART:KIND: of the results' names, 7 '1' for records beside the lines,
--      8 '1' to count what is below low
-- Returns below low, in all, the first lines, then (0, 0 and none where the member does not stand there) the place of
-- the first line around the member from 0, its rank, and those lines. A line is set member, score, record or ''.
local board, results = KEYS[1], KEYS[2]
local low, high = ARGV[1], ARGV[2]

local most = 200 -- names in one call, which Lua's stack bounds

-- records returns what stands under names, false for what is not there.
local function records(names)
  local out = {}
  for from = 1, #names, most do
    local got = redis.call('HMGET', results, unpack(names, from, math.min(from + most - 1, #names)))
    for i = 1, math.min(most, #names - from + 1) do
      out[from + i - 1] = got[i]
    end
  end
  return out
end

local function lines(flat)
  local out, names, got = {}, {}, {}
  if ARGV[7] == '1' then
    for i = 1, #flat, 2 do
      names[#names + 1] = ARGV[6] .. string.match(flat[i], '%.(.*)$')
    end
    got = records(names)
  end
  for i = 1, #flat, 2 do
    out[#out + 1] = flat[i]
    out[#out + 1] = flat[i + 1]
    out[#out + 1] = got[(i + 1) / 2] or ''
  end
  return out
end

local below = 0
if low ~= '-inf' and (ARGV[8] == '1' or ARGV[4] ~= '') then
  below = redis.call('ZCOUNT', board, '-inf', '(' .. low)
end
local of = redis.call('ZCOUNT', board, low, high)

local first = {}
if ARGV[3] == '0' then
  first = redis.call('ZRANGEBYSCORE', board, low, high, 'WITHSCORES')
elseif ARGV[3] ~= '-1' then
  first = redis.call('ZRANGEBYSCORE', board, low, high, 'WITHSCORES', 'LIMIT', '0', ARGV[3])
end

local from, rank, around = 0, 0, {}
if ARGV[4] ~= '' then
  local record = redis.call('HGET', results, ARGV[6] .. ARGV[4])
  local entry = record and string.match(record, '"set_member":"(%d+%.[^"]*)"')
  local at = entry and redis.call('ZRANK', board, entry)
  if at and at >= below and at < below + of then
    local others = tonumber(ARGV[5])
    from = math.max(at - below - math.ceil(others / 2), 0)
    local last = math.min(from + others, of - 1)
    from = math.max(last - others, 0)
    around = redis.call('ZRANGE', board, string.format('%.0f', below + from), string.format('%.0f', below + last), 'WITHSCORES')
    rank = 1 + redis.call('ZCOUNT', board, low, '(' .. around[2])
  end
end
return { below, of, lines(first), from, rank, lines(around) }
