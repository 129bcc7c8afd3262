-- say: one message of a member, with everything that it changes, or nothing.
--
-- KEYS  1 club   2 tops   3 said:M   4 mail:M   5 ledger:M   6... results, boards and their indexes
-- ARGV  1 now, microseconds   2 member   3 the top the decision rests on   4 message id ('' restands
--       a member from the ledger: no id, mail or ledger is written)   5 digest of the text   6 fact
--       then five lists, each led by its length; K is the place of a key in KEYS:
--       results {K, field, record or ''}   out {K, bytes}   in {K, score, bytes}
--       ranks {K, score, low, high}   ledger {entry}
-- returns {outcome, n, top before, lastpost, rank, of, rank, of ...}, all strings
--       outcome: done | again (id answered before) | reused (id answered before for another text)
--       | stale (top has moved; n is the number it has now). Only done has written anything.
--
-- Numbers come in and go out as strings: Lua on Redis writes large ones with 14 digits.
local FORMAT, KEEP = '1', 1000
local now, member, top, id, digest, fact = ARGV[1], ARGV[2], ARGV[3], ARGV[4], ARGV[5], ARGV[6]
local prefix = string.sub(KEYS[1], 1, -5)

local line = redis.call('HMGET', KEYS[1], 'n', 'lastpost', 'format')
if line[3] and tonumber(line[3]) > tonumber(FORMAT) then
  return redis.error_reply('NEWERFORMAT this club was written by a newer version, format ' .. line[3])
end
local lastpost = line[2] or '0'
local old = redis.call('HGET', KEYS[2], member) or '0'

if id ~= '' then
  local heard = redis.call('HGET', KEYS[3], id)
  if heard then
    local n, d = string.match(heard, '^(%d+) (.*)$')
    if d == digest then return {'again', n, old, lastpost} end
    return {'reused', n or '0', old, lastpost}
  end
end
if old ~= top then return {'stale', old, old, lastpost} end

local n = math.max(tonumber(line[1] or '0') + 1, tonumber(now))
n = string.format('%.0f', n)

local at = 7
local function list()
  local count = tonumber(ARGV[at])
  at = at + 1
  return count
end

for _ = 1, list() do
  local key, field, record = KEYS[tonumber(ARGV[at])], ARGV[at + 1], ARGV[at + 2]
  at = at + 3
  local date = string.sub(key, #prefix + #'results:' + 1)
  if record == '' then
    redis.call('HDEL', key, field)
    if redis.call('HLEN', key) == 0 then redis.call('SREM', prefix .. 'resultdates', date) end
  else
    if redis.call('HLEN', key) == 0 then redis.call('SADD', prefix .. 'resultdates', date) end
    redis.call('HSET', key, field, record)
  end
end

-- the index of a board's date and the board's name in it
local function index(key)
  local date, name = string.match(string.sub(key, #prefix + 1), '^board:([^:]+):(.+)$')
  return prefix .. 'boards:' .. date, name
end

for _ = 1, list() do
  local key = KEYS[tonumber(ARGV[at])]
  redis.call('ZREM', key, ARGV[at + 1])
  at = at + 2
  if redis.call('ZCARD', key) == 0 then
    local set, name = index(key)
    redis.call('SREM', set, name)
  end
end
for _ = 1, list() do
  local key = KEYS[tonumber(ARGV[at])]
  if redis.call('ZCARD', key) == 0 then
    local set, name = index(key)
    redis.call('SADD', set, name)
  end
  redis.call('ZADD', key, ARGV[at + 1], ARGV[at + 2])
  at = at + 3
end

local reply, ranks = {'done', n, old, lastpost}, {}
for _ = 1, list() do
  local key, score, low, high = KEYS[tonumber(ARGV[at])], ARGV[at + 1], ARGV[at + 2], ARGV[at + 3]
  at = at + 4
  local rank = string.format('%.0f', redis.call('ZCOUNT', key, low, '(' .. score) + 1)
  local of = string.format('%.0f', redis.call('ZCOUNT', key, low, high))
  reply[#reply + 1] = rank
  reply[#reply + 1] = of
  ranks[#ranks + 1] = rank .. ' ' .. of
end

if id ~= '' then
  for i = 0, list() - 1 do
    redis.call('XADD', KEYS[5], n .. '-' .. i, 'entry', ARGV[at])
    at = at + 1
  end
  redis.call('XADD', KEYS[4], n .. '-0', 'id', id, 'fact', fact, 'ranks', table.concat(ranks, ' '))
  redis.call('HSET', KEYS[3], id, n .. ' ' .. digest)
  -- an id is kept exactly as long as its answer: when the oldest goes, its mail goes with it
  if redis.call('HLEN', KEYS[3]) > KEEP then
    local last = '0'
    for _, entry in ipairs(redis.call('XRANGE', KEYS[4], '-', '+', 'COUNT', '64')) do
      if entry[1] == n .. '-0' then break end
      last = entry[1]
      if entry[2][2] ~= '' and redis.call('HDEL', KEYS[3], entry[2][2]) == 1 then break end
    end
    redis.call('XTRIM', KEYS[4], 'MINID', '=', string.match(last, '^%d+') .. '-1')
  end
end
redis.call('HSET', KEYS[2], member, n)
redis.call('HSET', KEYS[1], 'n', n, 'format', FORMAT)
return reply
