-- import: a club that is read in from an export, staged beside the club until it is whole.
--
-- KEYS  1 club   2 import   3... every key that a command names
-- ARGV  1 step: begin | part | end | drop   2 whose import it is   3 the club's number as it was found, '' for none
--       4 n   5 lastpost (both for end)
--       6 number of commands, then for each: number of words, then the words
--       7... for part, after the commands: number of names, then the names of the keys that they stage
-- returns {'done'}, {'exists'} when the club's number has moved, or {'taken'} when another import has begun.
--
-- What is staged stands under {club}:import:NAME, and its names in the hash {club}:import, so that the club is
-- nothing but what it was until the last step renames all of it at once.
local FORMAT = '1'
local step, owner, found = ARGV[1], ARGV[2], ARGV[3]
local prefix = string.sub(KEYS[1], 1, -5)
local stage = prefix .. 'import:'

if step ~= 'begin' and redis.call('HGET', KEYS[2], 'owner') ~= owner then return {'taken'} end

local function staged()
  local names = {}
  for _, field in ipairs(redis.call('HKEYS', KEYS[2])) do
    if string.sub(field, 1, 4) == 'key:' then names[#names + 1] = string.sub(field, 5) end
  end
  return names
end

local function drop()
  for _, name in ipairs(staged()) do redis.call('DEL', stage .. name) end
  redis.call('DEL', KEYS[2])
end

if step == 'drop' then
  drop()
  return {'done'}
end
if (redis.call('HGET', KEYS[1], 'n') or '') ~= found then return {'exists'} end
if step == 'begin' then
  drop()
  redis.call('HSET', KEYS[2], 'owner', owner)
end

local at = 7
for _ = 1, tonumber(ARGV[6]) do
  local words = {}
  local count = tonumber(ARGV[at])
  for i = 1, count do words[i] = ARGV[at + i] end
  at = at + count + 1
  redis.call(unpack(words))
end
if step == 'part' then
  for i = 1, tonumber(ARGV[at]) do redis.call('HSET', KEYS[2], 'key:' .. ARGV[at + i], '1') end
end
if step == 'end' then
  for _, name in ipairs(staged()) do redis.call('RENAME', stage .. name, prefix .. name) end
  redis.call('DEL', KEYS[2])
  redis.call('HSET', KEYS[1], 'n', ARGV[4], 'lastpost', ARGV[5], 'format', FORMAT)
end
return {'done'}
