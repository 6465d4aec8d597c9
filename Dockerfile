# Two stages: the first has pip and fills an environment from the lock, the second only runs it.
# Whoever publishes the image pins the base by digest for the registry at hand.
FROM python:3.13-slim-bookworm AS build

COPY deploy/lock.txt /tmp/lock.txt
RUN python -m venv --without-pip /opt/ohmstead \
    && python -m pip --python /opt/ohmstead/bin/python install --no-cache-dir --disable-pip-version-check \
        --require-hashes --only-binary :all: -r /tmp/lock.txt

# The same two folders side by side as in the project.
COPY openapi /srv/ohmstead/openapi
COPY service /srv/ohmstead/service
# Byte code is made here, because the running container cannot write any.
RUN python -m compileall -q -j 0 --invalidation-mode unchecked-hash /opt/ohmstead/lib /srv/ohmstead/service


FROM python:3.13-slim-bookworm

COPY --from=build /opt/ohmstead /opt/ohmstead
COPY --from=build /srv/ohmstead /srv/ohmstead

ENV PATH=/opt/ohmstead/bin:$PATH \
    PYTHONPATH=/srv/ohmstead/service \
    PYTHONDONTWRITEBYTECODE=1 \
    PYTHONUNBUFFERED=1

WORKDIR /srv/ohmstead
# A number, so that an orchestrator can see that it is not root. Nothing in the image belongs to it.
USER 10001:10001
EXPOSE 8080

# http.client, because it never goes through a proxy.
HEALTHCHECK --interval=15s --timeout=4s --start-period=10s --retries=3 \
    CMD ["python", "-c", "import http.client as h; c = h.HTTPConnection('127.0.0.1', 8080, timeout=3); c.request('GET', '/health/ready'); raise SystemExit(c.getresponse().status != 200)"]

CMD ["python", "-m", "ohmstead", "serve", "--host", "0.0.0.0", "--port", "8080"]
