# One image for web server, worker and migrations; docker-compose.yml says which is which.
FROM python:3.13-slim

ENV PYTHONUNBUFFERED=1 PYTHONDONTWRITEBYTECODE=1 RIGWRIGHT_MODE=production \
    RIGWRIGHT_DATA=/data RIGWRIGHT_STATIC_ROOT=/app/staticfiles

WORKDIR /app
COPY requirements.txt .
RUN pip install --no-cache-dir --require-hashes -r requirements.txt
COPY . .
# Collecting static files needs some key and some address, none of which stays in the image.
RUN SECRET_KEY=only-to-collect-static-files python manage.py collectstatic --no-input \
    && useradd --system --uid 10001 rigwright \
    && install -d -o rigwright /data
USER rigwright
VOLUME /data
EXPOSE 8000
