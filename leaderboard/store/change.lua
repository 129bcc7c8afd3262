-- change: commands that hold together, made only while every condition holds.
--
-- KEYS  1 club   2... every key that a condition or command names
-- ARGV  1 now, microseconds
--       2 number of conditions, then for each: key, field, wanted ('' for absent)
--       then the number of commands, then for each: number of words, then the words; a word is led by
--       '=' (as it is) or '$' (the number taken, followed by the rest of the word)
-- returns {'done', n} or {'stale', place of the first condition that failed}, all strings.
local FORMAT = '1'
local line = redis.call('HMGET', KEYS[1], 'n', 'format')
if line[2] and tonumber(line[2]) > tonumber(FORMAT) then
  return redis.error_reply('NEWERFORMAT this club was written by a newer version, format ' .. line[2])
end

local at = 3
for i = 1, tonumber(ARGV[2]) do
  local held = redis.call('HGET', ARGV[at], ARGV[at + 1]) or ''
  if held ~= ARGV[at + 2] then return {'stale', tostring(i)} end
  at = at + 3
end

local n = math.max(tonumber(line[1] or '0') + 1, tonumber(ARGV[1]))
n = string.format('%.0f', n)
local commands = tonumber(ARGV[at])
at = at + 1
for _ = 1, commands do
  local words = {}
  local count = tonumber(ARGV[at])
  for i = 1, count do
    local word = ARGV[at + i]
    local rest = string.sub(word, 2)
    if string.sub(word, 1, 1) == '$' then rest = n .. rest end
    words[i] = rest
  end
  at = at + count + 1
  redis.call(unpack(words))
end
redis.call('HSET', KEYS[1], 'n', n, 'format', FORMAT)
return {'done', n}
