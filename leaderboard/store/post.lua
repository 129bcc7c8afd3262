-- post: one entry for a bucket of members, once.
--
-- KEYS  1 club   2 posts   3 posted:DATE   4 buckets
-- ARGV  1 now, microseconds   2 once-id   3 bucket, or '*'   4 date   5 fact
-- returns {'done' or 'had', n, lastpost before}, all strings; had has written nothing.
--
-- A session's once-id is its bucket, and only a session moves the bucket's latest date.
-- Posts older than 14 days leave the stream.
local FORMAT, KEEP = '1', 14 * 86400 * 1000000
local now, once, bucket, date, fact = ARGV[1], ARGV[2], ARGV[3], ARGV[4], ARGV[5]

local line = redis.call('HMGET', KEYS[1], 'n', 'lastpost', 'format')
if line[3] and tonumber(line[3]) > tonumber(FORMAT) then
  return redis.error_reply('NEWERFORMAT this club was written by a newer version, format ' .. line[3])
end
local lastpost = line[2] or '0'
local had = redis.call('HGET', KEYS[3], once)
if had then return {'had', had, lastpost} end

local n = math.max(tonumber(line[1] or '0') + 1, tonumber(now))
local oldest = string.format('%.0f', math.max(tonumber(now) - KEEP, 0))
n = string.format('%.0f', n)

redis.call('XADD', KEYS[2], 'MINID', '=', oldest .. '-0', n .. '-0', 'date', date, 'bucket', bucket, 'fact', fact)
redis.call('HSET', KEYS[3], once, n)
if once == bucket and bucket ~= '*' then
  local latest = redis.call('HGET', KEYS[4], bucket)
  if not latest or latest < date then redis.call('HSET', KEYS[4], bucket, date) end
end
redis.call('HSET', KEYS[1], 'n', n, 'lastpost', n, 'format', FORMAT)
return {'done', n, lastpost}
